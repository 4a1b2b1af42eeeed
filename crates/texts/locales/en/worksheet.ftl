# worksheet

cylinders-of-valves =
    { $cylinders ->
        [one] { $cylinders } cylinder
       *[other] { $cylinders } cylinders
    }, { $valves } valves each
