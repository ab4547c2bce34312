package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/stanchion/internal/golden"
)

// TestBadDefinitionsThroughTheProgram checks each broken definition of the catalogue in barrier: the
// message is that of its golden file, and nothing else is said or written.
func TestBadDefinitionsThroughTheProgram(t *testing.T) {
	t.Chdir("../../barrier/testdata/bad")
	files, err := filepath.Glob("*.toml")
	if err != nil || len(files) < 80 {
		t.Fatalf("%d broken definitions: %v", len(files), err)
	}
	for _, file := range files {
		want, err := os.ReadFile(strings.TrimSuffix(file, ".toml") + ".txt")
		if err != nil {
			t.Fatal(err)
		}
		code, out, stderr := call("", "check", file)
		if code != exitWrong || out != "" || stderr != string(want) {
			t.Errorf("check %s ends with %d, %d bytes of report and\n%s\nwant code 2, no report and\n%s", file, code, len(out), stderr, want)
		}
	}
}

// TestFaultsThatShowWhenCalculated checks definitions that read well and cannot be calculated: code
// and message are those of the golden file.
func TestFaultsThatShowWhenCalculated(t *testing.T) {
	t.Chdir("testdata/uncalculable")
	files, err := filepath.Glob("*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no such definitions: %v", err)
	}
	for _, file := range files {
		code, out, stderr := call("", "check", file)
		if code != exitWrong && code != exitUntrusted || out != "" || strings.Contains(stderr, "bug in the program") {
			t.Errorf("check %s ends with %d, %d bytes of report and\n%s\nwant code 2 or 3, no report and why", file, code, len(out), stderr)
		}
		golden.Check(t, strings.TrimSuffix(file, ".toml")+".txt", fmt.Appendf(nil, "exit %d\n%s", code, stderr))
	}
}
