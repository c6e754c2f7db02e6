//! Where the sun stands, how strong sun and sky are, and what colour they have.
