//! The views: one file a region of the screen.
