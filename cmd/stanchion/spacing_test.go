package main

import (
	"bytes"
	"context"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
)

// TestSpacingIsTheSameOnAnyProcessors holds that the answer does not depend on their number.
func TestSpacingIsTheSameOnAnyProcessors(t *testing.T) {
	answer := func(n int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		code, out, stderr := call("", "spacing", "../../barrier/explore/testdata/lock-platform.toml", "--grid", "200 mm", "--down-to", "2 m", "--format", "json")
		if code != exitPass {
			t.Errorf("exit code %d\n%s", code, stderr)
		}
		return out
	}
	if answer(1) != answer(8) {
		t.Error("the answer on 8 processors is not that on 1")
	}
}

// TestSpacingPrintsWhatCheckPrints compares the row of the file's own spacing with the verdict of
// a check of that file, and holds that first yield, which is nearer to 1 there, is told beside it.
func TestSpacingPrintsWhatCheckPrints(t *testing.T) {
	const file = "../../testdata/gallery.toml" // bays of 1.5 m
	_, lines, _ := call("", "check", file, file)
	verdict := regexp.MustCompile(`(?m)^  pass\S* +(\S+) +(post-\w+), (post \d+) `).FindStringSubmatch(lines)
	if verdict == nil {
		t.Fatalf("check tells no verdict of a post:\n%s", lines)
	}
	_, out, _ := call("", "spacing", file, "--down-to", "1.5 m")
	row := regexp.MustCompile(`(?m)^ +1\.500 +6 +7 +` + regexp.QuoteMeta(verdict[1]) + ` +pass .*` + verdict[2] + `, ` + verdict[3] + `,.*\n +first yield 0\.8\d\d: post-yield of post`)
	if !row.MatchString(out) {
		t.Errorf("check says %q, and spacing has no row that matches %s:\n%s", verdict[0], row, out)
	}
}

func TestInterruptedSpacingEndsWith130(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, err bytes.Buffer
	code := run(ctx, []string{"spacing", "../../testdata/gallery.toml"}, strings.NewReader(""), &out, &err)
	if code != exitInterrupted || out.Len() > 0 || !strings.Contains(err.String(), "interrupted") {
		t.Errorf("exit code %d with %d bytes and %q, want 130 with none and that it was interrupted", code, out.Len(), err.String())
	}
}

func TestCodeOfASpacing(t *testing.T) {
	for status, want := range map[check.Status]int{check.Pass: 0, check.Fail: 1, explore.NotTrusted: 3, check.Incomplete: 4, "": 3} {
		if got := spacingCode(status); got != want {
			t.Errorf("spacingCode(%q) = %d, want %d", status, got, want)
		}
	}
	if got := exitOf(&explore.WrongOption{Option: "--grid"}); got != exitWrong {
		t.Errorf("a wrong option gives %d, want 2", got)
	}
}
