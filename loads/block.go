package loads

import (
	"bytes"
	"slices"
)

// A file of many tables is parsed a part at a time: the tables of one list, or those of one design
// basis. The parts are cut by their lines.

// block is one table of a list of tables in an embedded file: its lines from [[list]] to the next.
type block struct {
	list string // "mix"
	text []byte
}

// blocksOf cuts a file into its blocks. Every list stands at the top, and a table within a block
// has single brackets.
func blocksOf(data []byte) []block {
	var blocks []block
	for line := range bytes.Lines(data) {
		if name, ok := bytes.CutPrefix(line, []byte("[[")); ok {
			name, _, _ = bytes.Cut(name, []byte("]]"))
			blocks = append(blocks, block{list: string(name)})
		}
		if last := len(blocks) - 1; last >= 0 {
			blocks[last].text = append(blocks[last].text, line...)
		}
	}
	return blocks
}

// says reports whether a block has the key, at its top, with the text for a value.
func (b *block) says(key, value string) bool {
	return bytes.Contains(b.text, []byte("\n"+key+" = \""+value+"\"\n"))
}

// blocksIn returns the text of those blocks of a file that are of one of the lists and kept.
func blocksIn(file string, keep func(*block) bool, lists ...string) []byte {
	var text []byte
	for _, b := range blocksOf(embedded(file)) {
		if slices.Contains(lists, b.list) && keep(&b) {
			text = append(text, b.text...)
		}
	}
	return text
}
