package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// floors are the packages of the house from the top down. A package imports
// only from floors below its own; loads, sections and solver share one and do
// not know one another.
//
// Source: DEVELOPERS.md, The house.
func floors() [][]string {
	return [][]string{
		{"cmd/stanchion"},
		{"barrier/report"},
		{"barrier/explore"},
		{"barrier/check"},
		{"barrier/analysis"},
		{"barrier"},
		{"loads", "sections", "solver"},
		{"internal/quantity", "internal/verification"}, // verification: tests alone import it
		{"internal/golden", "internal/nearest"},
	}
}

// floorOf returns how far down a package stands, counted from the top.
func floorOf(pkg string) (floor int, ok bool) {
	for i, packages := range floors() {
		if slices.Contains(packages, pkg) {
			return i, true
		}
	}
	return 0, false
}

// edge is one import inside the module.
type edge struct{ from, to string }

// fault says what is wrong with an import; it is empty for one that the
// picture has.
func (e edge) fault() string {
	from, known := floorOf(e.from)
	if !known {
		return e.from + " is not in the picture: give it a floor here and say why it is needed"
	}
	to, known := floorOf(e.to)
	if !known {
		return e.to + " is not in the picture: give it a floor here and say why it is needed"
	}
	if to <= from {
		return e.from + " imports " + e.to + ", which is not below it"
	}
	return ""
}

func TestImportsHoldThePicture(t *testing.T) {
	const module = "example.com/stanchion/"
	listed, err := exec.Command("go", "list", "-f", `{{.ImportPath}}{{range .Imports}} {{.}}{{end}}`, module+"...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	for line := range strings.Lines(string(listed)) {
		fields := strings.Fields(line)
		from := strings.TrimPrefix(fields[0], module)
		if _, known := floorOf(from); !known {
			t.Errorf("%s is not in the picture: give it a floor here and say why it is needed", from)
		}
		for _, imported := range fields[1:] {
			to, own := strings.CutPrefix(imported, module)
			if !own {
				continue
			}
			if fault := (edge{from, to}).fault(); fault != "" {
				t.Error(fault)
			}
		}
	}
}

func TestPictureNamesTheOffendingEdge(t *testing.T) {
	for _, c := range []struct {
		edge edge
		want string
	}{
		{edge{"barrier", "solver"}, ""},
		{edge{"cmd/stanchion", "internal/quantity"}, ""},
		{edge{"solver", "barrier"}, "solver imports barrier, which is not below it"},
		{edge{"loads", "sections"}, "loads imports sections, which is not below it"},
		{edge{"barrier/check", "barrier/report"}, "barrier/check imports barrier/report, which is not below it"},
		{edge{"barrier", "internal/utils"}, "internal/utils is not in the picture: give it a floor here and say why it is needed"},
	} {
		if got := c.edge.fault(); got != c.want {
			t.Errorf("%v: %q, want %q", c.edge, got, c.want)
		}
	}
}
