"""The machine's seat: section, holes, template, levelling record."""
