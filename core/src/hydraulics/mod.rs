//! Water through valves, hydrants and pipes: closed formulas, each with its equation, its range and its source.
