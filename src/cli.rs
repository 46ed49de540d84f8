//! Commands, one file each, and the one printer for all output.
