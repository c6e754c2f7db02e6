//! What is seen from somewhere in a tableau, by casting rays at its solids.
