package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// FuzzResume goes on with whatever a file holds: it is refused and stays as it was, byte for byte,
// or its whole rows stay and those that lack are written behind them.
func FuzzResume(f *testing.F) {
	args := []string{"sweep", "testdata/small/coupled.toml", "--vary", "run.spacing=1m,1.5m,10mm"}
	_, text, stderr := call("", args...)
	whole := []byte(text)
	rows := bytes.Count(whole, []byte("\n"))
	if rows < 4 {
		f.Fatalf("there is %q, %s", whole, stderr)
	}
	for _, n := range []int{0, 1, 20, len(whole) / 2, len(whole) - 1, len(whole)} {
		f.Add(whole[:n])
	}
	f.Add(append(bytes.Clone(whole), whole[len(whole)-20:]...))
	f.Add(bytes.ReplaceAll(whole, []byte("\n"), []byte("\r\n")))
	f.Add(bytes.Replace(whole, []byte("pass"), []byte("fail"), 1))
	f.Add(bytes.Replace(whole, []byte("1.5 m"), []byte("1.6 m"), 1))
	f.Add([]byte("# sweep\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file := filepath.Join(t.TempDir(), "rows.csv")
		if err := os.WriteFile(file, data, 0o666); err != nil {
			t.Fatal(err)
		}
		code, stdout, stderr := call("", append(args, "--resume", file)...)
		got := []byte(sofar(file))
		switch kept := data[:bytes.LastIndexByte(data, '\n')+1]; {
		case stdout != "" || strings.Contains(stderr, "bug in the program"):
			t.Errorf("%q: %q, %s", data, stdout, stderr)
		case code == exitWrong:
			if !bytes.Equal(got, data) || stderr == "" {
				t.Errorf("%q is refused with %q, and has become %q", data, stderr, got)
			}
		case bytes.HasPrefix(whole, data):
			if !bytes.Equal(got, whole) {
				t.Errorf("%q is gone on with to %q, want %q", data, got, whole)
			}
		case !bytes.HasPrefix(got, kept) || bytes.Count(got, []byte("\n")) != rows:
			t.Errorf("%q is gone on with to %q", data, got)
		}
	})
}
