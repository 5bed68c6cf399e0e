"""What the package carries of the world: stations with their normals, towns, shores; and estimates made of them."""
