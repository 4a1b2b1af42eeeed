# drawings
