package main

import (
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestComparisonsHold80Columns sets every example beside another one.
func TestComparisonsHold80Columns(t *testing.T) {
	files, err := filepath.Glob("../../testdata/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i, file := range files {
		_, out, stderr := call("", "compare", file, files[(i+7)%len(files)])
		if !strings.Contains(out, "\nEach check") {
			t.Errorf("%s: no comparison: %s", file, stderr)
		}
		for line := range strings.Lines(out) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 && !strings.Contains(line, "testdata/") {
				t.Errorf("%s: %d columns: %s", file, n, line)
			}
		}
	}
}
