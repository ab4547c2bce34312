package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
)

// tests are those of a package that match a pattern; all where it is empty.
type tests struct {
	in, pattern string
	short       bool
}

// without are the tests that say nothing of formulas: of pages in a browser.
const without = "Chromium|Accessible"

var (
	failedTest = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)`)
	panicked   = regexp.MustCompile(`(?m)^panic: (.*)$`)
)

// errNotGo is a package that does not compile.
var errNotGo = errors.New("it does not compile")

// test runs tests with a mutation and tells what became of it.
func (t *tree) test(ctx context.Context, over *overlay, of tests, id string) (became fate, by string) {
	said, err := t.run(ctx, over, of, id)
	switch {
	case err == nil:
		return survived, ""
	case errors.Is(err, errNotGo):
		return notGo, lastLines(said)
	}
	return killed, killer(said, of)
}

// passesSound returns an error where tests do not pass with none of what is woven selected.
func (t *tree) passesSound(ctx context.Context, woven *overlay, of tests) error {
	if err, known := t.passes[of]; known {
		return err
	}
	said, err := t.run(ctx, woven, of, "")
	if err != nil {
		err = fmt.Errorf("tests %q of %s: %w: %s", of.pattern, of.in, err, killer(said, of))
	}
	t.passes[of] = err
	return err
}

// run runs tests with a mutation selected, "" for none.
func (t *tree) run(ctx context.Context, over *overlay, of tests, id string) (said string, err error) {
	program, said, err := t.program(ctx, over, of.in)
	if err != nil {
		return said, err
	}
	args := []string{"-test.failfast", "-test.timeout=600s", "-test.skip=" + without, "-test.run=" + of.pattern}
	if of.short {
		args = append(args, "-test.short")
	}
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Dir, cmd.Env = filepath.Join(t.copied, filepath.FromSlash(of.in)), append(os.Environ(), environment+"="+id)
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	err = cmd.Run()
	if err == nil && strings.Contains(out.String(), "no tests to run") {
		err = fmt.Errorf("no test of %s matches %q", of.in, of.pattern)
	}
	return out.String(), err
}

// program returns the test program of a package under an overlay, which is built once.
func (t *tree) program(ctx context.Context, over *overlay, folder string) (name, said string, err error) {
	if name, ok := over.programs[folder]; ok {
		return name, "", nil
	}
	name = filepath.Join(over.folder, strings.ReplaceAll(folder, "/", "-")+".test")
	cmd := exec.CommandContext(ctx, "go", "test", "-c", "-vet=off", "-ldflags=-s -w", "-overlay", over.list, "-o", name, "./"+folder)
	cmd.Dir = t.root
	out, err := cmd.CombinedOutput()
	if err != nil {
		return "", string(out), errNotGo
	}
	over.programs[folder] = name
	return name, "", nil
}

// killer names what failed.
func killer(said string, of tests) string {
	if names := failedTest.FindAllStringSubmatch(said, -1); len(names) > 0 {
		return of.in + " " + names[len(names)-1][1]
	}
	if found := panicked.FindStringSubmatch(said); found != nil {
		return of.in + " panic: " + found[1]
	}
	return of.in + ": " + lastLines(said)
}

func lastLines(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return strings.Join(lines[max(0, len(lines)-3):], " | ")
}
