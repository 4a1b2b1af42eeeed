"""What a rework plan can be at best, worked out beside the service: cones and lines in the plane, zones from
scipy.stats.norm, and mixed-integer linear programs for scipy.optimize.milp (HiGHS)."""
