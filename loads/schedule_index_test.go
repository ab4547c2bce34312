package loads

import (
	"reflect"
	"slices"
	"testing"
)

// A name finds through the index what it finds in the whole table, and none is found that the
// table has not.
func TestIndexFindsWhatTheWholeTableHas(t *testing.T) {
	whole, index := scheduleTable(), scheduleIndexTable()
	for name, want := range whole.names {
		if got, ok := index.find(name); !ok || !reflect.DeepEqual(got, want) {
			t.Errorf("find(%q) = %+v, %v; want %+v", name, got, ok, want)
		}
	}
	found := map[string]bool{}
	var schedules []Schedule
	for _, f := range index.files {
		for name := range f.table().names {
			found[name] = true
		}
		schedules = append(schedules, f.table().schedules...)
	}
	if len(found) != len(whole.names) {
		t.Errorf("%d names in the files, %d in the whole table", len(found), len(whole.names))
	}
	if !reflect.DeepEqual(schedules, whole.schedules) {
		t.Error("the schedules of the files are not those of the whole table")
	}
}

// The heads of the files, read by their lines, are those of the files decoded whole.
func TestHeadsAreThoseOfTheFiles(t *testing.T) {
	for i, head := range scheduleHeads() {
		var file scheduleFile
		if err := decode(embedded(scheduleFiles()[i]), &file); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(head, file.scheduleHead) {
			t.Errorf("%s: head %+v, want %+v", scheduleFiles()[i], head, file.scheduleHead)
		}
	}
	whole, heads := scheduleTable(), scheduleIndexTable().heads
	if !slices.Equal(heads.annexes, whole.annexes) {
		t.Errorf("annexes %v, want %v", heads.annexes, whole.annexes)
	}
	for i, want := range whole.standards {
		want.choices = nil
		if got := heads.standards[i]; !reflect.DeepEqual(got, want) {
			t.Errorf("standard %+v, want %+v", got, want)
		}
	}
}

// A name that only one file may have opens that file alone.
func TestNameOpensItsFileAlone(t *testing.T) {
	name := compact("EN ISO 14122-3")
	for _, f := range scheduleIndexTable().files {
		if f.mayHave(name) != slices.Contains(f.begins, name) {
			t.Errorf("%q is sought among the names that begin with %q", name, f.begins)
		}
	}
}
