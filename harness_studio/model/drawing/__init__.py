"""Drawing a harness as data: new ids, pieces that are put down, wires that are laid, parted and moved."""
