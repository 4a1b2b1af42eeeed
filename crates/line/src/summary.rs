//! What many values of one characteristic say together: moments, distribution, normality, capability, groups, trend.
