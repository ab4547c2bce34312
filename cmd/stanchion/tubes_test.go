package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/explore"
	"example.com/stanchion/internal/golden"
)

// TestTubesOutput holds text, JSON and CSV of one comparison of an invented stock, and that they
// do not depend on the number of processors.
func TestTubesOutput(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
	}{
		{"vat-house.txt", []string{"--by", "cost", "--rails", "any", "--largest-spacing", "--top", "8", "--standard", "10219"}},
		{"vat-house.json", []string{"--by", "cost", "--largest-spacing", "--format", "json"}},
		{"vat-house.csv", []string{"--by", "cost", "--largest-spacing", "--format", "csv"}},
		{"yard.txt", []string{"--stock", "../../testdata/yard.csv"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			on := func(n int) string {
				defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
				code, out, stderr := call("", append([]string{"tubes", "../../testdata/vat-house.toml"}, c.args...)...)
				if code != exitPass || stderr != "" {
					t.Fatalf("exit code %d, %s", code, stderr)
				}
				return out
			}
			one := on(1)
			if eight := on(8); one != eight {
				t.Error("the output on 8 processors is not that on 1")
			}
			golden.Check(t, "testdata/tubes/"+c.name, []byte(one))
		})
	}
}

// TestTubesHold80Columns holds that the widest text fits 80 columns in either system of units.
func TestTubesHold80Columns(t *testing.T) {
	data, err := os.ReadFile("../../testdata/vat-house.toml")
	if err != nil {
		t.Fatal(err)
	}
	for _, system := range []string{"metric", "US"} {
		for _, args := range [][]string{{"--by", "cost", "--largest-spacing", "--rails", "any", "--standard", "10219"}, {"--from", "tables", "--standard", "10255", "--smallest-od", "48 mm", "--largest-od", "61 mm", "--largest-spacing"}} {
			text := "units = \"" + system + "\"\n" + strings.Replace(string(data), `"12 m"`, `"4.5 m"`, 1)
			_, out, stderr := call(text, append([]string{"tubes", "-", "--top", "200"}, args...)...)
			if !strings.Contains(out, "\nPass\n") {
				t.Errorf("%v in %s units gives no rows\n%s", args, system, stderr)
			}
			for line := range strings.Lines(out) {
				if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
					t.Errorf("%v in %s units: %d columns: %s", args, system, n, line)
				}
			}
		}
	}
}

// TestTubesSpeakUSUnits compares a mass by length in both systems, by hand: 9 posts of 1.1 m and 2
// rails of 12 m of 3.247 kg/m (48.3x2.9, 0.02466 (D - t) t), 18 fittings of 0.6 kg, on 12 m of run;
// 1 kg/m is 0.67197 lb/ft.
func TestTubesSpeakUSUnits(t *testing.T) {
	data, err := os.ReadFile("../../testdata/vat-house.toml")
	if err != nil {
		t.Fatal(err)
	}
	first := regexp.MustCompile(`(?m)^  1\*? +(\d+\.\d+) `)
	for system, want := range map[string]string{"metric": "10.07", "US": "6.77"} {
		_, out, _ := call("units = \""+system+"\"\n"+string(data), "tubes", "-", "--standard", "10255", "--top", "1")
		if row := first.FindStringSubmatch(out); row == nil || row[1] != want {
			t.Errorf("in %s units the first row is %q, want a mass of %s", system, row, want)
		}
	}
}

func TestCodeOfTubes(t *testing.T) {
	for _, c := range []struct {
		pass, incomplete, fail, untrusted, want int
	}{
		{1, 1, 1, 0, 0}, {0, 1, 1, 0, 4}, {0, 0, 1, 0, 1}, {0, 0, 0, 0, 1}, {1, 0, 0, 1, 3},
	} {
		r := &explore.TubeRanking{Pass: c.pass, Incomplete: c.incomplete, Fail: c.fail, NotTrusted: make([]explore.TubeReason, c.untrusted)}
		if got := tubesCode(r); got != c.want {
			t.Errorf("%+v ends with %d", c, got)
		}
	}
}

// TestInterruptedTubesTellWhatIsDone: with the context done before the first candidate there are
// cautions, the statement, and no row.
func TestInterruptedTubesTellWhatIsDone(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for format, want := range map[string]string{"text": "Interrupted: 0 of 28 candidates were tried", "json": "\"done\": 0,\n  \"interrupted\": true,", "csv": "# Interrupted: 0 of 28 candidates were tried"} {
		var out, stderr bytes.Buffer
		code := run(ctx, []string{"tubes", "../../testdata/gallery.toml", "--standard", "10255", "--format", format}, strings.NewReader(""), &out, &stderr)
		if code != exitInterrupted || !strings.Contains(out.String(), want) || !strings.Contains(out.String(), check.PreCheck[:20]) {
			t.Errorf("%s: exit code %d, want 130 and %q in\n%s", format, code, want, out.String())
		}
		if !strings.Contains(stderr.String(), "interrupted: 0 of 28 candidates") {
			t.Errorf("%s: standard error says %q", format, stderr.String())
		}
	}
}

// TestInterruptedTubesProcess interrupts the comparison of some hundred thousand pairs.
func TestInterruptedTubesProcess(t *testing.T) {
	data, err := os.ReadFile("../../testdata/gallery.toml")
	if err != nil {
		t.Fatal(err)
	}
	process := exec.Command("stanchion", "tubes", "-", "--rails", "any", "--material", "steel", "--standard", "EN 10219,EN 10210")
	stdin, err := process.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	var stdout, stderr bytes.Buffer
	process.Stdout, process.Stderr = &stdout, &stderr
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	// More than a pipe holds: once it is written, the process reads, and its signal handler stands.
	if _, err := io.WriteString(stdin, strings.Repeat("# nothing\n", 100000)+string(data)); err != nil {
		t.Fatal(err)
	}
	if err := stdin.Close(); err != nil {
		t.Fatal(err)
	}
	if err := process.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	err = process.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitInterrupted {
		t.Errorf("interrupted: %v, want exit code 130; it said %q", err, stderr.String())
	}
	if !regexp.MustCompile(`Interrupted: \d+ of \d+\s+candidates were tried`).MatchString(stdout.String()) {
		t.Errorf("standard output does not say what was done:\n%s", stdout.String())
	}
}

// TestProgressIsForTerminals: nothing is drawn elsewhere, and what is drawn is taken away.
func TestProgressIsForTerminals(t *testing.T) {
	var elsewhere bytes.Buffer
	quiet := newProgress(&elsewhere)
	quiet.at(1, 2)
	quiet.erase()
	if elsewhere.Len() > 0 {
		t.Errorf("drawn where no terminal is: %q", elsewhere.String())
	}
	var screen bytes.Buffer
	shown := &progress{out: &screen}
	shown.at(1, 4)
	if !strings.Contains(screen.String(), "25%") {
		t.Errorf("a quarter is drawn as %q", screen.String())
	}
	screen.Reset()
	shown.erase()
	if left := strings.Trim(screen.String(), "\r "); left != "" && !strings.HasPrefix(left, "\x1b[") {
		t.Errorf("at the end stands %q", left)
	}
}

// TestRankedSpacingIsTold compares the columns of text ranked at the largest spacing with what
// JSON has of that spacing.
func TestRankedSpacingIsTold(t *testing.T) {
	args := []string{"tubes", "../../testdata/vat-house.toml", "--rails", "any", "--rank-at", "largest"}
	_, text, _ := call("", args...)
	_, data, _ := call("", append(args, "--format", "json")...)
	var ranking explore.TubeRanking
	if err := json.Unmarshal([]byte(data), &ranking); err != nil {
		t.Fatal(err)
	}
	differ := 0
	for i := range ranking.Rows {
		row := &ranking.Rows[i]
		b := row.Largest
		if row.Given.BaseMoment == nil || *row.Given.BaseMoment != *b.BaseMoment {
			differ++
		}
		want := fmt.Sprintf(`(?m)^  %d\*?\+? +%.2f +[\d.]+ +%.1f +%.0f +%.1f +%.3f +%.3f$`, row.Rank, b.Mass, *b.BaseMoment, *b.FittingSlip, *b.Deflection, b.Spacing, b.FeetPerM)
		if !regexp.MustCompile(want).MatchString(text) {
			t.Errorf("no row %s in\n%s", want, text)
		}
	}
	if differ == 0 {
		t.Error("no candidate has another base moment at its largest spacing")
	}
	if !strings.Contains(strings.Join(strings.Fields(text), " "), "At the largest spacing of each: 20 pass") {
		t.Errorf("the tally does not say of which spacing it is:\n%s", text)
	}
}
