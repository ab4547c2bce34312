package main

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
)

const gallery, loadingBay = "../../testdata/gallery.toml", "../../testdata/loading-bay.toml"

// What is printed does not depend on how many files are checked at a time: on
// one processor they are checked one after the other.
func TestSeveralFilesReadAsOneAfterTheOther(t *testing.T) {
	files := []string{loadingBay, "nosuch.toml", gallery, t.TempDir(), gallery}
	for _, flags := range [][]string{nil, {"--full"}, {"--format", "json"}, {"--format", "jsonl"}, {"--format", "csv"}} {
		args := append(append([]string{"check"}, flags...), files...)
		onProcessors := func(n int) string {
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
			code, stdout, stderr := call("", args...)
			return "exit " + strconv.Itoa(code) + "\n" + stdout + stderr
		}
		if one, eight := onProcessors(1), onProcessors(8); one != eight {
			t.Errorf("%v: 8 processors print\n%s\none prints\n%s", flags, eight, one)
		}
	}
}

// The reports of --full are those that each file has alone.
func TestFullReportsAreThoseOfEachFile(t *testing.T) {
	_, all, _ := call("", "check", "--full", gallery, loadingBay)
	_, first, _ := call("", "check", gallery)
	_, second, _ := call("", "check", loadingBay)
	rule := "\n" + strings.Repeat("_", 80) + "\n\n"
	if want := first + rule + second + rule; !strings.HasPrefix(all, want) {
		t.Errorf("--full prints\n%s\nwant it to begin with the two reports", all)
	}
}

// withholding runs a call whose standard input keeps it waiting until it is
// closed; it returns that input, the lines of the output and the exit code.
func withholding(ctx context.Context, t *testing.T, args ...string) (stdin *io.PipeWriter, lines *bufio.Scanner, code chan int) {
	in, stdin := io.Pipe()
	out, stdout := io.Pipe()
	code = make(chan int, 1)
	go func() {
		code <- run(ctx, args, in, stdout, io.Discard)
		stdout.Close()
	}()
	t.Cleanup(func() { stdin.Close(); out.Close() })
	return stdin, bufio.NewScanner(out), code
}

func readUntil(t *testing.T, lines *bufio.Scanner, end string) {
	t.Helper()
	for lines.Scan() {
		if strings.HasSuffix(lines.Text(), end) {
			return
		}
	}
	t.Fatalf("no line ends with %q", end)
}

func TestLineIsPrintedWhenItsTurnHasCome(t *testing.T) {
	stdin, lines, code := withholding(t.Context(), t, "check", gallery, "-", loadingBay)
	readUntil(t, lines, gallery) // while the second is not read yet
	stdin.Close()
	readUntil(t, lines, " -")
	readUntil(t, lines, loadingBay)
	readUntil(t, lines, "3 files: 1 pass, 1 fail, 1 not read")
	if got := <-code; got != exitWrong {
		t.Errorf("exit code %d, want %d: standard input was empty", got, exitWrong)
	}
}

func TestInterruptAmongSeveralFilesEndsWith130(t *testing.T) {
	ctx, interrupt := context.WithCancel(t.Context())
	_, lines, code := withholding(ctx, t, "check", gallery, "-", loadingBay)
	readUntil(t, lines, gallery)
	interrupt() // standard input stays open
	for lines.Scan() {
		t.Errorf("printed after the interrupt: %q", lines.Text())
	}
	if got := <-code; got != exitInterrupted {
		t.Errorf("exit code %d, want %d", got, exitInterrupted)
	}
}

func TestBugInOneFileHarmsNoOther(t *testing.T) {
	var stdout, stderr bytes.Buffer
	code := run(t.Context(), []string{"check", gallery, "-", loadingBay}, panicReader{}, &stdout, &stderr)
	if code != exitUntrusted {
		t.Errorf("exit code %d, want %d", code, exitUntrusted)
	}
	if !strings.Contains(stderr.String(), "broken reader") {
		t.Errorf("standard error does not say what happened: %q", stderr.String())
	}
	if want := "  3 files: 1 pass, 1 fail, 1 not trusted\n"; !strings.HasSuffix(stdout.String(), want) {
		t.Errorf("got\n%s\nwant it to end with %q", stdout.String(), want)
	}
}

// The first caution above the lines is that of the reports.
func TestTallyHasTheCautionOfTheReports(t *testing.T) {
	_, report, _ := call("", "check", gallery)
	c1 := regexp.MustCompile(`(?s)\n  C1 (.*?)\n  \S`).FindStringSubmatch(report)
	if c1 == nil {
		t.Fatal("no C1 in the report")
	}
	if head, want := strings.Join(strings.Fields(tallyHead), " "), "C1 "+strings.Join(strings.Fields(c1[1]), " "); !strings.HasPrefix(head, want) {
		t.Errorf("the lines stand below %q, want %q", head, want)
	}
}

func TestLineOfAVerdict(t *testing.T) {
	half, governing := 0.5, check.CheckRef{ID: "post-bending", Element: "post 2"}
	governing.Utilisation = &half
	for _, c := range []struct {
		name   string
		result check.Result
		want   verdict
	}{
		{"whole scope", check.Result{Status: check.Pass, ScopeComplete: true, Governing: check.Governing{Overall: governing}},
			verdict{"0.500", "post-bending, post 2", false}},
		{"part of the scope", check.Result{Status: check.Pass, Governing: check.Governing{Overall: governing}},
			verdict{"0.500", "post-bending, post 2", true}},
		{"a geometry rule", check.Result{Status: check.Fail, ScopeComplete: true, Governing: check.Governing{Overall: governing, Geometry: "height"}},
			verdict{"0.500", "post-bending, post 2; a geometry rule fails", false}},
		{"nothing", check.Result{Status: check.Incomplete, ScopeComplete: true},
			verdict{"-", "nothing is checked", false}},
		{"no bound", check.Result{Status: check.Fail, ScopeComplete: true, Governing: check.Governing{Overall: check.CheckRef{ID: "post-bending", Element: "post 1"}}},
			verdict{"no bound", "post-bending, post 1", false}},
	} {
		if got := verdictOf(&c.result); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

// A report that is there and a code that is not known are no pass.
func TestWordOfAVerdict(t *testing.T) {
	for code, want := range map[int]string{exitPass: "pass", exitFail: "fail", exitIncomplete: "incomplete", exitUntrusted: "not trusted", 77: "not trusted"} {
		if got := verdictWord(outcome{code: code}); got != want {
			t.Errorf("code %d is %q, want %q", code, got, want)
		}
	}
	if got := verdictWord(outcome{code: exitWrong, err: io.EOF}); got != "not read" {
		t.Errorf("a wrong file is %q, want %q", got, "not read")
	}
}

func TestNameOfAFileMovesNoCursor(t *testing.T) {
	for name, want := range map[string]string{"a b.toml": "a b.toml", "è.toml": "è.toml", "a\x1b[2Jb": `"a\x1b[2Jb"`, "a\nb": `"a\nb"`, "a\u202eb": `"a\u202eb"`} {
		if got := printable(name); got != want {
			t.Errorf("printable(%q) = %s, want %s", name, got, want)
		}
	}
}
