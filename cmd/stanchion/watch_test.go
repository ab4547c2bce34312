package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// printout is what a process has written so far.
type printout struct {
	lock sync.Mutex
	text bytes.Buffer
}

func (b *printout) Write(p []byte) (int, error) {
	b.lock.Lock()
	defer b.lock.Unlock()
	return b.text.Write(p)
}

func (b *printout) String() string {
	b.lock.Lock()
	defer b.lock.Unlock()
	return b.text.String()
}

// awaitText waits until the process has written a text.
func (b *printout) awaitText(t *testing.T, text string) {
	t.Helper()
	const patience = 60 * time.Second // of a machine with much else to do
	for begun := time.Now(); time.Since(begun) < patience; time.Sleep(10 * time.Millisecond) {
		if strings.Contains(b.String(), text) {
			return
		}
	}
	t.Fatalf("%q was not written; there is\n%s", text, b.String())
}

// TestWatch saves a file in its place, by a rename, wrong and right again, and interrupts the process.
func TestWatch(t *testing.T) {
	gallery, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	file := filepath.Join(folder, "walk.toml")
	put := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	renamed := func(text string) {
		t.Helper()
		put(file+".part", text)
		if err := os.Rename(file+".part", file); err != nil {
			t.Fatal(err)
		}
	}
	put(file, string(gallery))
	process := exec.CommandContext(t.Context(), "stanchion", "check", "--watch", file)
	var out, told printout
	process.Stdout, process.Stderr = &out, &told
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	told.awaitText(t, "run 1 ends with 0; watching")
	put(filepath.Join(folder, "beside.toml"), "title = ")
	put(file, strings.Replace(string(gallery), "Filter gallery walkway", "Saved in its place", 1))
	told.awaitText(t, "run 2 ends with 0")
	renamed(strings.Replace(string(gallery), "spacing ", "spaceing ", 1))
	told.awaitText(t, "run 3 ends with 2")
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	renamed(strings.Replace(string(gallery), "Filter gallery walkway", "Saved by a rename", 1))
	told.awaitText(t, "run 4 ends with 0")
	if err := process.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	_ = process.Wait()
	if code := process.ProcessState.ExitCode(); code != exitInterrupted {
		t.Errorf("interrupted: exit code %d, want 130; it said\n%s", code, told.String())
	}
	for _, text := range []string{"Filter gallery walkway", "\n__ run 2 ___", "Saved in its place", "\n__ run 4 ___", "Saved by a rename"} {
		if !strings.Contains(out.String(), text) {
			t.Errorf("%q was not written", text)
		}
	}
	if !strings.Contains(told.String(), `unknown key`) || strings.Contains(told.String(), "beside.toml") {
		t.Errorf("it said\n%s", told.String())
	}
	if strings.Contains(out.String(), "run 5") {
		t.Errorf("it ran too often:\n%s", told.String())
	}
}

// What is no one file on a disk is not watched.
func TestWatchRefuses(t *testing.T) {
	folder := t.TempDir()
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "no file is given"},
		{[]string{"-"}, "standard input is none"},
		{[]string{"../../testdata/gallery.toml", "../../testdata/loading-bay.toml"}, "--watch runs one file anew on each save, and 2 are given"},
		{[]string{"../../testdata"}, "--watch runs one file anew on each save"},
		{[]string{"--format", "pdf", "../../testdata/gallery.toml"}, "write -o FILE.pdf"},
		{[]string{filepath.Join(folder, "none", "walk.toml")}, "no such file or directory"},
	} {
		code, out, stderr := call("", append([]string{"check", "--watch"}, c.args...)...)
		if code != exitWrong || out != "" || !strings.Contains(stderr, c.want) {
			t.Errorf("check --watch %v ends with %d and %q, want 2 and %q", c.args, code, stderr, c.want)
		}
	}
}

// A folder that is taken away is told: nothing would be seen of the file any more.
func TestWatchEndsWithItsFolder(t *testing.T) {
	gallery, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(t.TempDir(), "walks")
	if err := os.Mkdir(folder, 0o777); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(folder, "walk.toml")
	if err := os.WriteFile(file, gallery, 0o666); err != nil {
		t.Fatal(err)
	}
	process := exec.CommandContext(t.Context(), "stanchion", "check", "--watch", file)
	var told printout
	process.Stderr = &told
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	told.awaitText(t, "run 1 ends with 0; watching")
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
	told.awaitText(t, "watching "+file+": its folder is gone")
	_ = process.Wait()
	if code := process.ProcessState.ExitCode(); code != exitWrong {
		t.Errorf("exit code %d, want 2", code)
	}
}
