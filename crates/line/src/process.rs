//! Is a process holding? Control charts, their constants and run rules; what fails most.
