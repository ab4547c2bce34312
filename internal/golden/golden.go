// Package golden compares the output of a test with a file that holds what it
// should be.
//
//	go test ./barrier/report -update      rewrites the files
//	go test ./barrier/report -artifacts   keeps what differed
package golden

import (
	"bytes"
	"errors"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/rogpeppe/go-internal/diff"
)

var update = flag.Bool("update", false, "rewrite golden files with what the tests got")

// Check compares got with the golden file at path, relative to the package of
// the test, byte for byte. Where they differ the test fails with the lines that
// do, and what was got is left in t.ArtifactDir() under the name of the golden
// file, which outlives the test if -artifacts is given. With -update the file
// is written instead.
func Check(t testing.TB, path string, got []byte) {
	t.Helper()
	if *update {
		write(t, path, got)
		return
	}
	want, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no golden file %s: run the test with -update and read what it wrote; got is in %s", path, keep(t, path, got))
		return
	}
	if err != nil {
		t.Errorf("reading golden file: %v", err)
		return
	}
	if !bytes.Equal(want, got) {
		t.Errorf("output is not that of the golden file; got is in %s\n%s", keep(t, path, got), diff.Diff(path, want, "got", got))
	}
}

// CheckBlock compares got with what stands in the file at path between two marks, each a
// line with its end, as [Check] does: with -update what stands there is rewritten.
func CheckBlock(t testing.TB, path, from, to, got string) {
	t.Helper()
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("reading golden file: %v", err)
	}
	before, rest, begins := bytes.Cut(page, []byte(from))
	_, after, ends := bytes.Cut(rest, []byte(to))
	if !begins || !ends {
		t.Fatalf("%s has no block from the mark %q to %q", path, from, to)
	}
	Check(t, path, slices.Concat(before, []byte(from+got+to), after))
}

// write makes got the golden file.
func write(t testing.TB, path string, got []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatalf("making folder of golden file: %v", err)
	}
	if err := os.WriteFile(path, got, 0o644); err != nil {
		t.Fatalf("writing golden file: %v", err)
	}
}

// keep leaves got among the artifacts of the test and returns where.
func keep(t testing.TB, path string, got []byte) string {
	t.Helper()
	kept := filepath.Join(t.ArtifactDir(), filepath.Base(path))
	if err := os.WriteFile(kept, got, 0o644); err != nil {
		t.Errorf("keeping output: %v", err)
	}
	return kept
}
