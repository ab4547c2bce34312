package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"example.com/stanchion/barrier"
	"example.com/stanchion/barrier/check"
)

// TestMain lets scripts and tests run this very program as the command
// stanchion, so that an exit code is that of a process.
func TestMain(m *testing.M) {
	if err := os.Setenv("GORACE", noSleep); err != nil {
		panic(err)
	}
	testscript.Main(m, map[string]func(){"stanchion": main, "killed-in-mid-write": killedInMidWrite})
}

// killedInMidWrite saves a file and ends, as a kill would end it, when half of it is written.
func killedInMidWrite() {
	_ = saveBy(os.Args[1], func(out io.Writer) error {
		if _, err := io.WriteString(out, "half of "); err != nil {
			return err
		}
		self, err := os.FindProcess(os.Getpid())
		if err != nil {
			return err
		}
		if err := self.Kill(); err != nil {
			return err
		}
		select {}
	})
}

// noSleep spares the processes that tests start the second for which the race
// detector waits at their end.
const noSleep = "atexit_sleep_ms=0"

// TestScripts runs testdata/script. Each script starts in a folder with the
// example barriers.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("GORACE", noSleep)
			if err := os.CopyFS(env.WorkDir, os.DirFS("testdata/shell")); err != nil {
				return err
			}
			return os.CopyFS(env.WorkDir, os.DirFS("../../testdata"))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits runs a command and compares its exit code: exits 4 stanchion check x.
// The scripts' own exec does not tell one failure from another.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND [ARGUMENT...]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%s: %v", strings.Join(args[1:], " "), err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("%s: exit code %d, want %d\n%s", strings.Join(args[1:], " "), got, want, ts.ReadFile("stderr"))
	}
}

// call runs the program in this process.
func call(stdin string, args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(stdin), &out, &err)
	return code, out.String(), err.String()
}

func TestCodeOfSeveralFilesIsThatOfTheWorst(t *testing.T) {
	const source = "DEVELOPERS.md, Exit codes: the worst, in the order 2, 3, 1, 4, 0"
	order := []int{2, 3, 1, 4, 0}
	for i, a := range order {
		for j, b := range order {
			want := order[min(i, j)]
			if got := worse(a, b); got != want {
				t.Errorf("worse(%d, %d) = %d, want %d (source: %s)", a, b, got, want, source)
			}
		}
	}
}

func TestCodeOfAVerdict(t *testing.T) {
	for status, want := range map[check.Status]int{check.Pass: 0, check.Fail: 1, check.Incomplete: 4, "": 3, check.Unchecked: 3} {
		if got := exitCode(status); got != want {
			t.Errorf("exitCode(%q) = %d, want %d", status, got, want)
		}
	}
}

func TestCodeOfAnError(t *testing.T) {
	if got := exitOf(fmt.Errorf("reading: %w", barrier.Problems{{What: "no rail"}})); got != 2 {
		t.Errorf("a problem of the definition gives %d, want 2", got)
	}
	if got := exitOf(errors.New("stiffness residual 1e-3")); got != 3 {
		t.Errorf("an untrusted calculation gives %d, want 3", got)
	}
}

func TestPanicIsNoWrongInput(t *testing.T) {
	c := checkCall{format: "text"}
	f := c.examine("-", panicReader{})
	if f.code != exitUntrusted || f.report != nil || !strings.Contains(explain(f), "broken reader") {
		t.Errorf("a panic gives code %d, %d bytes and %q, want code 3, no report and what it said", f.code, len(f.report), explain(f))
	}
}

type panicReader struct{}

func (panicReader) Read([]byte) (int, error) { panic("broken reader") }

func TestInterruptedCallEndsWith130(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, err bytes.Buffer
	code := run(ctx, []string{"check", "../../testdata/gallery.toml"}, strings.NewReader(""), &out, &err)
	if code != 130 || out.Len() > 0 {
		t.Errorf("exit code %d with %d bytes of report, want 130 with none", code, out.Len())
	}
}

// A process that is killed in mid-write leaves the file as it was, and beside it a hidden one that is
// named for it and in no one's way.
func TestKilledInMidWrite(t *testing.T) {
	const before = "what was here before"
	folder := t.TempDir()
	file := filepath.Join(folder, "report.txt")
	if err := os.WriteFile(file, []byte(before), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := exec.Command("killed-in-mid-write", file).Run(); err == nil {
		t.Fatal("the process was not killed")
	}
	if got := sofar(file); got != before {
		t.Errorf("the file has become %q", got)
	}
	left, err := filepath.Glob(filepath.Join(folder, ".report.txt.*"))
	if err != nil || len(left) != 1 || sofar(left[0]) != "half of " {
		t.Errorf("%q is left (%v), want one file with half of what was to be written", left, err)
	}
	if code, _, stderr := call("", "check", "../../testdata/gallery.toml", "-o", file); code != exitPass || !strings.Contains(sofar(file), check.PreCheck[:20]) {
		t.Errorf("written anew: exit code %d, %q", code, stderr)
	}
	if code, _, stderr := call("", "check", folder); code != exitWrong || !strings.Contains(stderr, "no file that ends in .toml") {
		t.Errorf("the folder with what is left: exit code %d, %q", code, stderr)
	}
}

// The process waits for standard input when the signal reaches it.
func TestInterruptedProcessEndsWith130(t *testing.T) {
	output := filepath.Join(t.TempDir(), "report.txt")
	process := exec.Command("stanchion", "check", "-o", output, "-")
	stdin, err := process.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	var stderr bytes.Buffer
	process.Stderr = &stderr
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	// More than a pipe holds: once it is written, the process reads, and its
	// signal handler stands.
	if _, err := io.WriteString(stdin, strings.Repeat("# nothing\n", 100000)); err != nil {
		t.Fatal(err)
	}
	if err := process.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	err = process.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != 130 {
		t.Errorf("interrupted: %v, want exit code 130; it said %q", err, stderr.String())
	}
	if _, err := os.Stat(output); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("interrupted, and %s is there (%v)", output, err)
	}
}

// Every command, in every format, says that its output could not be written.
func TestFailedWriteIsTold(t *testing.T) {
	for _, args := range everyOutput() {
		var stderr bytes.Buffer
		code := run(context.Background(), args, strings.NewReader(""), fullDisk{}, &stderr)
		if code != exitWrong || !strings.Contains(stderr.String(), "no space left") {
			t.Errorf("%q: exit code %d and %q after a failed write, want 2 and why", args, code, stderr.String())
		}
	}
}

// everyOutput returns calls that write something, of every command and format.
func everyOutput() (calls [][]string) {
	const gallery, loadingBay = "../../testdata/gallery.toml", "../../testdata/loading-bay.toml"
	for _, format := range []string{"text", "json", "jsonl", "csv", "html", "md", "pdf"} {
		calls = append(calls, []string{"check", "--format", format, gallery})
	}
	for _, of := range []struct {
		formats []string
		args    []string
	}{
		{[]string{"text", "json"}, []string{"explain", gallery}},
		{[]string{"text", "json"}, []string{"compare", gallery, loadingBay}},
		{[]string{"text", "json", "csv"}, []string{"spacing", gallery, "--down-to", "2 m"}},
		{[]string{"text", "json", "csv"}, []string{"tubes", gallery, "--standard", "EN 39"}},
		{[]string{"csv", "jsonl"}, []string{"sweep", gallery, "--vary", "run.spacing=2m"}},
		{[]string{"text", "json", "csv"}, []string{"life", "../../testdata/spray-walk.toml", "--years", "10", "--step", "10"}},
		{[]string{"text", "json"}, []string{"prooftest", "../../testdata/sluice-crossing.toml"}},
		{[]string{"text", "json"}, []string{"list", "checks"}},
	} {
		for _, format := range of.formats {
			calls = append(calls, append(slices.Clone(of.args), "--format", format))
		}
	}
	return append(calls,
		[]string{"check", gallery, loadingBay}, []string{"check", "--full", gallery, loadingBay}, []string{"check", "--format", "csv", "--table", "all", gallery},
		[]string{"draw", gallery}, []string{"new", "--basis", "EN"}, []string{"schema", "result"}, []string{"completion", "bash"}, []string{"version"},
		[]string{"--help"}, []string{"help", "check"}, []string{"sweep", "--help"},
	)
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestVersionIsThatOfTheBuild(t *testing.T) {
	var out bytes.Buffer
	if err := printVersion(&out, &debug.BuildInfo{Main: debug.Module{Version: "v1.2.3"}}); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(out.String(), "stanchion v1.2.3\ngo1.") {
		t.Errorf("version prints %q", out.String())
	}
}

func TestVersionNamesTheCommit(t *testing.T) {
	info := &debug.BuildInfo{Settings: []debug.BuildSetting{
		{Key: "vcs", Value: "git"},
		{Key: "vcs.revision", Value: "0123abc"},
		{Key: "vcs.time", Value: "2026-03-04T05:06:07Z"},
		{Key: "vcs.modified", Value: "false"},
	}}
	const clean = "commit 0123abc of 2026-03-04T05:06:07Z\n"
	if got := commit(info); got != clean {
		t.Errorf("commit prints %q, want %q", got, clean)
	}
	info.Settings[3].Value = "true"
	const changed = "commit 0123abc of 2026-03-04T05:06:07Z, files changed since\n"
	if got := commit(info); got != changed {
		t.Errorf("commit prints %q of changed files, want %q", got, changed)
	}
	if got := version(nil) + commit(nil); got != "(unknown)" {
		t.Errorf("a build that recorded nothing is version %q", got)
	}
}
