package loads

import (
	"bytes"
	"strings"
	"sync"
)

// Most calls ask for the schedules of one standard. Its name stands at the top of a file, so
// that the tops alone are read of all files, and the whole of those that may have the name.

// scheduleIndex holds what the tops of the files of schedules say.
type scheduleIndex struct {
	heads *tables // standards and annexes alone
	files []indexedFile
}

// indexedFile is a file of schedules that is parsed when it is asked for.
type indexedFile struct {
	begins []string       // what begins each name of its schedules, compact
	table  func() *tables // with every name under which its schedules are found
}

// scheduleIndexTable reads the tops of the embedded files of schedules, once.
var scheduleIndexTable = sync.OnceValue(func() *scheduleIndex {
	x := &scheduleIndex{heads: &tables{}}
	heads := scheduleHeads()
	for i, file := range scheduleFiles() {
		must(file, x.heads.addHead(heads[i]))
		x.files = append(x.files, indexedFile{
			begins: compactAll(x.heads.spellingsOf(heads[i])),
			table:  sync.OnceValue(func() *tables { return x.parse(file, heads[i]) }),
		})
	}
	return x
})

// scheduleHeads returns the heads of the files of schedules in their order. Each key of a head
// stands on one line, above the first table.
func scheduleHeads() []scheduleHead {
	var tops bytes.Buffer
	for _, file := range scheduleFiles() {
		tops.WriteString("[[file]]\n")
		for line := range bytes.Lines(embedded(file)) {
			if line[0] == '[' {
				break
			}
			switch key, _, _ := bytes.Cut(line, []byte(" = ")); string(key) {
			case "name", "spellings", "part_of", "annex", "partial":
				tops.Write(line)
			}
		}
	}
	var all struct{ File []scheduleHead }
	must("the heads of the schedules", decode(tops.Bytes(), &all))
	return all.File
}

func compactAll(names []string) []string {
	all := make([]string, len(names))
	for i, name := range names {
		all[i] = compact(name)
	}
	return all
}

// parse parses one file by itself.
func (x *scheduleIndex) parse(file string, head scheduleHead) *tables {
	t := &tables{names: map[string]entry{}}
	if parent := x.heads.standard(head.PartOf); parent != nil {
		t.standards = []standard{{name: parent.name, spellings: parent.spellings}}
	}
	must(file, t.addSchedules(embedded(file)))
	return t
}

// find returns what a compact name stands for.
func (x *scheduleIndex) find(name string) (entry, bool) {
	for _, f := range x.files {
		if !f.mayHave(name) {
			continue
		}
		if e, ok := f.table().names[name]; ok {
			return e, true
		}
	}
	return entry{}, false
}

// mayHave says whether a name begins as the names of the file's schedules do.
func (f *indexedFile) mayHave(name string) bool {
	for _, beginning := range f.begins {
		if strings.HasPrefix(name, beginning) {
			return true
		}
	}
	return false
}
