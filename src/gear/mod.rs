//! Machines that change the air of a room.
