//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// An output that its reader closed ends the process by the signal of a broken pipe, as it ends
// other programs, and without a word.
func TestClosedPipeEndsQuietly(t *testing.T) {
	for _, args := range everyOutput() {
		read, write, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := read.Close(); err != nil {
			t.Fatal(err)
		}
		process := exec.Command("stanchion", args...)
		var stderr bytes.Buffer
		process.Stdout, process.Stderr = write, &stderr
		err = process.Run()
		if err := write.Close(); err != nil {
			t.Fatal(err)
		}
		var exit *exec.ExitError
		if !errors.As(err, &exit) || exit.Sys().(syscall.WaitStatus).Signal() != syscall.SIGPIPE || stderr.Len() > 0 {
			t.Errorf("%q: %v, %q, want the signal of a broken pipe and no word", args, err, stderr.String())
		}
	}
}

// inShell runs a line of the shell in a folder with some examples and returns how it ended.
func inShell(t *testing.T, folder, line string, environment ...string) (code int, stdout, stderr string) {
	t.Helper()
	process := exec.Command("sh", "-c", line)
	var out, told bytes.Buffer
	process.Dir, process.Stdout, process.Stderr = folder, &out, &told
	process.Env = append(os.Environ(), environment...)
	err := process.Run()
	if exit := new(exec.ExitError); err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return process.ProcessState.ExitCode(), out.String(), told.String()
}

// examplesIn returns a folder with some examples.
func examplesIn(t *testing.T, names ...string) string {
	t.Helper()
	folder := t.TempDir()
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join("../../testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// The bytes depend on no variable of the environment.
func TestEnvironmentChangesNothing(t *testing.T) {
	folder := examplesIn(t, "gallery.toml")
	for _, format := range []string{"text", "pdf"} {
		line := "exec stanchion check --format " + format + " gallery.toml"
		code, want, stderr := inShell(t, folder, line)
		if code != exitPass || stderr != "" {
			t.Fatalf("exit code %d, %q", code, stderr)
		}
		for _, environment := range []string{
			"TERM=dumb", "NO_COLOR=1", "COLUMNS=20", "TZ=Nowhere/Odd", "TZ=Pacific/Kiritimati", "LC_ALL=C", "LC_ALL=tr_TR.UTF-8", "LC_ALL=",
			"RUNEWIDTH_EASTASIAN=1", "GOMAXPROCS=1", "GOMAXPROCS=8", "GOGC=10", "GOMEMLIMIT=8MiB",
		} {
			code, got, stderr := inShell(t, folder, line, environment)
			if code != exitPass || got != want || stderr != "" {
				t.Errorf("%s: exit code %d, %d bytes of %d, %q", environment, code, len(got), len(want), stderr)
			}
		}
		code, got, stderr := inShell(t, folder, `exec env -i "PATH=$PATH" stanchion check --format `+format+" gallery.toml")
		if code != exitPass || got != want || stderr != "" {
			t.Errorf("without HOME, TERM and all others: exit code %d, %d bytes of %d, %q", code, len(got), len(want), stderr)
		}
	}
}

// Where a file may not grow as large as it must, as on a full disk, what is there stays, nothing is
// left beside it, and a sweep goes on from its last whole row.
func TestFileThatMayNotGrow(t *testing.T) {
	const before = "what was here before"
	folder := examplesIn(t, "gallery.toml", "spray-walk.toml")
	in := func(name string) string { return filepath.Join(folder, name) }
	listed := func() string {
		names, err := filepath.Glob(in("*"))
		if err != nil {
			t.Fatal(err)
		}
		hidden, err := filepath.Glob(in(".*"))
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(append(names, hidden...), "\n")
	}
	for _, name := range []string{"old.out", "old.json", "old.pdf"} {
		if err := os.WriteFile(in(name), []byte(before), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	there := listed()
	for _, call := range []string{
		"check gallery.toml -o old.out", "check gallery.toml -o old.json", "check gallery.toml -o old.pdf", "check gallery.toml -o new.html",
		"draw gallery.toml -o old.out", "life spray-walk.toml --years 10 --step 5 -o new.svg", "check --trails gallery.toml -o old.out",
	} {
		code, stdout, stderr := inShell(t, folder, "ulimit -f 1; exec stanchion "+call)
		if code != exitWrong || stdout != "" || !strings.Contains(stderr, "file too large") {
			t.Errorf("%s: exit code %d, %q", call, code, stderr)
		}
		if listed() != there || sofar(in("old.out")) != before || sofar(in("old.json")) != before || sofar(in("old.pdf")) != before {
			t.Errorf("%s: there is\n%s", call, listed())
		}
	}

	if code, _, stderr := inShell(t, folder, "exec stanchion check gallery.toml --tables-to tables"); code != exitPass {
		t.Fatal(stderr)
	}
	if err := os.WriteFile(in("tables/cautions.csv"), []byte(before), 0o666); err != nil {
		t.Fatal(err)
	}
	code, _, stderr := inShell(t, folder, "ulimit -f 4; exec stanchion check gallery.toml --tables-to tables")
	if left, _ := filepath.Glob(in("tables/.*")); code != exitWrong || !strings.Contains(stderr, "file too large") || sofar(in("tables/cautions.csv")) != before || len(left) > 0 {
		t.Errorf("tables: exit code %d, %q, %q is left, cautions are\n%s", code, stderr, left, sofar(in("tables/cautions.csv")))
	}

	const sweep = "exec stanchion sweep gallery.toml --vary run.spacing=1m..2m:50mm "
	_, whole, _ := inShell(t, folder, sweep)
	code, _, stderr = inShell(t, folder, "ulimit -f 2; "+sweep+"-o rows.csv")
	if code != exitWrong || !strings.Contains(stderr, "file too large") || !strings.Contains(stderr, "--resume rows.csv") {
		t.Errorf("sweep: exit code %d, %q", code, stderr)
	}
	if code, _, stderr := inShell(t, folder, sweep+"--resume rows.csv"); sofar(in("rows.csv")) != whole || code != exitIncomplete && code != exitPass {
		t.Errorf("resumed: exit code %d, %q\n%s", code, stderr, sofar(in("rows.csv")))
	}
}

// Few files may be open at once: a folder of many is checked all the same.
func TestFewFilesMayBeOpen(t *testing.T) {
	folder := examplesIn(t, "gallery.toml")
	for n := range 40 {
		if err := os.Link(filepath.Join(folder, "gallery.toml"), filepath.Join(folder, fmt.Sprintf("copy-%d.toml", n))); err != nil {
			t.Fatal(err)
		}
	}
	code, stdout, stderr := inShell(t, folder, "ulimit -n 16; exec stanchion check .")
	if code != exitPass || !strings.Contains(stdout, "41 files: 41 pass") || stderr != "" {
		t.Errorf("exit code %d, %q\n%s", code, stderr, stdout)
	}
}

// What is written to a file is written whole though no standard stream is open.
func TestNoStandardStreams(t *testing.T) {
	folder := examplesIn(t, "gallery.toml")
	_, want, _ := inShell(t, folder, "exec stanchion check gallery.toml")
	for _, closed := range []string{"<&-", "<&- >&-", ">&- 2>&-", "<&- >&- 2>&-"} {
		code, stdout, _ := inShell(t, folder, "exec stanchion check gallery.toml -o out.txt "+closed)
		if code != exitPass || stdout != "" || sofar(filepath.Join(folder, "out.txt")) != want {
			t.Errorf("%s: exit code %d, %q", closed, code, sofar(filepath.Join(folder, "out.txt")))
		}
		if err := os.Remove(filepath.Join(folder, "out.txt")); err != nil {
			t.Fatal(err)
		}
		if code, _, _ := inShell(t, folder, "exec stanchion check none.toml "+closed); code != exitWrong {
			t.Errorf("%s: exit code %d of a file that is not there", closed, code)
		}
	}
	if code, _, stderr := inShell(t, folder, "exec stanchion check - <&-"); code != exitWrong || !strings.Contains(stderr, "there is nothing in the file") {
		t.Errorf("exit code %d, %q", code, stderr)
	}
}

// Each command ends with 130 on the signal that asks a process to end, and writes no file but that
// of a comparison, which says that it was interrupted.
func TestTerminatedProcessEndsWith130(t *testing.T) {
	folder := examplesIn(t, "vat-house.toml", "spray-walk.toml")
	for _, args := range [][]string{
		{"check", "-"}, {"spacing", "-", "--grid", "1 mm", "--down-to", "0.5 m"}, {"life", "-", "--step", "0.1"},
		{"tubes", "-", "--standard", "EN 10255", "--rails", "any"}, {"draw", "-"}, {"prooftest", "-", "--bay", "3", "--force", "450 N"},
	} {
		output := filepath.Join(folder, "out.txt")
		process := exec.Command("stanchion", append(slices.Clone(args), "-o", output)...)
		stdin, err := process.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		var told bytes.Buffer
		process.Stderr = &told
		if err := process.Start(); err != nil {
			t.Fatal(err)
		}
		text := sofar(filepath.Join(folder, "spray-walk.toml"))
		// More than a pipe holds: once it is written, the process reads, and its signal handler stands.
		if _, err := stdin.Write([]byte(text + strings.Repeat("# nothing\n", 100000))); err != nil {
			t.Fatal(err)
		}
		if err := process.Process.Signal(syscall.SIGTERM); err != nil {
			t.Fatal(err)
		}
		_ = stdin.Close()
		_ = process.Wait()
		if code := process.ProcessState.ExitCode(); code != exitInterrupted || !strings.Contains(told.String(), "interrupted") {
			t.Errorf("%q: exit code %d, %q, want 130", args, code, told.String())
		}
		if got := sofar(output); got != "" && (args[0] != "tubes" || !strings.Contains(got, "Interrupted: ")) {
			t.Errorf("%q: there is a file\n%s", args, got)
		}
		_ = os.Remove(output) // of a comparison
	}
}
