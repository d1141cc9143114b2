//! The peer.
