"""The stand as a whole and its assemblies in welding order."""
