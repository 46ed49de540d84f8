//! Slab, room and gear carried through calendar time.
