# worksheet

cylinders-of-valves =
    { $cylinders ->
        [one] { $cylinders } Zylinder
       *[other] { $cylinders } Zylinder
    }, { $valves } Ventile je Zylinder
