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
	os.Setenv("GORACE", noSleep)
	testscript.Main(m, map[string]func(){"stanchion": main})
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

func TestFailedWriteIsTold(t *testing.T) {
	var stderr bytes.Buffer
	code := run(context.Background(), []string{"list", "checks"}, strings.NewReader(""), fullDisk{}, &stderr)
	if code == 0 || !strings.Contains(stderr.String(), "no space left") {
		t.Errorf("exit code %d and %q after a failed write, want a failure that says why", code, stderr.String())
	}
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
