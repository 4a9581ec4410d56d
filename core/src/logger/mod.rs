//! A pressure logger's file read as a series of samples.
