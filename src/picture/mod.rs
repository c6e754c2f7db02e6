//! Tableau and camera to picture.
