//! Outlines, layered solids, faces, walks and distances. Knows nothing of concrete.
