//! The moisture tests as instruments on a simulated slab.
