package golden

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// recorder stands in for a test and keeps what it is told.
type recorder struct {
	testing.TB
	artifacts string
	said      []string
}

func (r *recorder) Helper()                   {}
func (r *recorder) ArtifactDir() string       { return r.artifacts }
func (r *recorder) Errorf(f string, a ...any) { r.said = append(r.said, fmt.Sprintf(f, a...)) }

// check runs Check against a file and returns what the test was told.
func check(t *testing.T, path, got string) (said string, artifacts string) {
	t.Helper()
	r := &recorder{TB: t, artifacts: t.TempDir()}
	Check(r, path, []byte(got))
	return strings.Join(r.said, "\n"), r.artifacts
}

func TestCheck(t *testing.T) {
	path := filepath.Join(t.TempDir(), "report.txt")
	if err := os.WriteFile(path, []byte("post 1\npost 2\npost 3\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if said, _ := check(t, path, "post 1\npost 2\npost 3\n"); said != "" {
		t.Errorf("equal output fails: %s", said)
	}
	const got = "post 1\npost two\npost 3\n"
	said, artifacts := check(t, path, got)
	for _, line := range []string{"\n-post 2\n", "\n+post two\n", "\n post 3\n"} {
		if !strings.Contains(said, line) {
			t.Errorf("the line %q is not in the failure:\n%s", line, said)
		}
	}
	kept, err := os.ReadFile(filepath.Join(artifacts, "report.txt"))
	if err != nil || string(kept) != got {
		t.Errorf("kept %q, %v; want %q", kept, err, got)
	}
	if said, _ := check(t, path, "post 1\npost 2\npost 3"); said == "" {
		t.Error("a line end that is missing is passed over")
	}
}

func TestCheckWithoutFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "report.txt")
	said, artifacts := check(t, path, "post 1\n")
	if !strings.Contains(said, "no golden file "+path) || !strings.Contains(said, "-update") {
		t.Errorf("failure does not say that the file is missing and how to write it: %s", said)
	}
	if kept, err := os.ReadFile(filepath.Join(artifacts, "report.txt")); err != nil || string(kept) != "post 1\n" {
		t.Errorf("kept %q, %v", kept, err)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("the golden file was written without -update")
	}
}

func TestCheckBlock(t *testing.T) {
	const page = "head\n<from>\nrow 1\n<to>\nfoot\n"
	path := filepath.Join(t.TempDir(), "page.md")
	if err := os.WriteFile(path, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	block := func(got string) string {
		r := &recorder{TB: t, artifacts: t.TempDir()}
		CheckBlock(r, path, "<from>\n", "<to>\n", got)
		return strings.Join(r.said, "\n")
	}
	if said := block("row 1\n"); said != "" {
		t.Errorf("an equal block fails: %s", said)
	}
	if said := block("row 2\n"); !strings.Contains(said, "\n-row 1\n") || strings.Contains(said, "-head") || strings.Contains(said, "-foot") {
		t.Errorf("another block: %s", said)
	}
}

func TestUpdate(t *testing.T) {
	before := *update
	defer func() { *update = before }()
	*update = true
	path := filepath.Join(t.TempDir(), "new", "report.txt")
	if said, _ := check(t, path, "post 1\n"); said != "" {
		t.Errorf("updating fails: %s", said)
	}
	*update = false
	if said, _ := check(t, path, "post 1\n"); said != "" {
		t.Errorf("what was written is not what was got: %s", said)
	}
}
