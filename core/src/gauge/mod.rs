//! What a gauge can tell: its accuracy, its resolution, and whether two readings agree.
