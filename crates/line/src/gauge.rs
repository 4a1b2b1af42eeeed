//! How much of a scatter is the gauge? Crossed studies and studies on one reference.
