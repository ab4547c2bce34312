package main

import (
	"bytes"
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"

	"example.com/stanchion/barrier"
	"example.com/stanchion/internal/golden"
)

// TestLifeOfAnExample holds the life of the example that outlives its coating, and that it does not depend on
// the number of processors.
func TestLifeOfAnExample(t *testing.T) {
	life := func(n int, format string) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		code, out, stderr := call("", "life", "../../testdata/spray-walk.toml", "--format", format)
		if code != exitPass {
			t.Errorf("exit code %d\n%s", code, stderr)
		}
		return out
	}
	for format, ending := range map[string]string{"text": ".txt", "csv": ".csv"} {
		one := life(1, format)
		if one != life(8, format) {
			t.Errorf("%s: the life on 8 processors is not that on 1", format)
		}
		golden.Check(t, "../../testdata/spray-walk-life"+ending, []byte(one))
	}
}

func TestInterruptedLifeEndsWith130(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, err bytes.Buffer
	code := run(ctx, []string{"life", "../../testdata/spray-walk.toml"}, strings.NewReader(""), &out, &err)
	if code != exitInterrupted || out.Len() > 0 || !strings.Contains(err.String(), "interrupted") {
		t.Errorf("exit code %d with %d bytes and %q, want 130 with none and that it was interrupted", code, out.Len(), err.String())
	}
}

// A wall that is gone is a failure, not a wrong input.
func TestCodeOfWalls(t *testing.T) {
	if got := exitOfWalls(&barrier.GoneError{Element: "posts", Where: "at the foot"}); got != exitFail {
		t.Errorf("no wall gives %d, want 1", got)
	}
	if got := exitOfWalls(errors.New("no [exposure]")); got != exitWrong {
		t.Errorf("no exposure gives %d, want 2", got)
	}
}
