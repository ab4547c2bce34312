package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// tree is the module whose formulas are spoilt.
type tree struct {
	root   string          // where it stands, and is built from
	copied string          // where tests run: what they leave behind when they fail goes with it
	work   string          // what lies over the tree, and programs
	laid   int             // overlays so far
	passes map[tests]error // whether tests pass with nothing spoilt
}

// overlay is what lies over the sources while tests are built.
type overlay struct {
	list     string            // file for -overlay
	folder   string            // of programs
	holds    map[string]bool   // ids of mutations that stand beside their functions
	programs map[string]string // by package
}

// newTree readies a module, with a copy of what git knows of it or would take.
func newTree(ctx context.Context, root string) (*tree, error) {
	work, err := os.MkdirTemp("", "stanchion-mutate-")
	if err != nil {
		return nil, err
	}
	t := &tree{root: root, work: work, copied: filepath.Join(work, "tree"), passes: map[tests]error{}}
	names, err := output(exec.CommandContext(ctx, "git", "-C", root, "ls-files", "-co", "--exclude-standard", "-z"))
	if err != nil {
		return nil, errors.Join(err, t.remove())
	}
	for name := range strings.SplitSeq(strings.TrimRight(names, "\x00"), "\x00") {
		data, err := os.ReadFile(filepath.Join(root, name))
		if errors.Is(err, os.ErrNotExist) {
			continue // removed and not yet committed
		}
		if err == nil {
			err = write(filepath.Join(t.copied, name), data)
		}
		if err != nil {
			return nil, errors.Join(err, t.remove())
		}
	}
	return t, nil
}

func (t *tree) remove() error { return os.RemoveAll(t.work) }

// remove removes the overlay and the programs built under it.
func (o *overlay) remove() { _ = os.RemoveAll(o.folder) } // goes with the tree at the latest

// source returns a file of the tree as it is.
func (t *tree) source(name string) (string, error) {
	data, err := os.ReadFile(filepath.Join(t.root, filepath.FromSlash(name)))
	return string(data), err
}

// lay returns an overlay of files by their names in the tree.
func (t *tree) lay(files map[string]string) (*overlay, error) {
	t.laid++
	folder := filepath.Join(t.work, fmt.Sprint("overlay-", t.laid))
	o := &overlay{list: filepath.Join(folder, "overlay.json"), folder: folder, holds: map[string]bool{}, programs: map[string]string{}}
	replace := map[string]string{}
	for name, text := range files {
		at := filepath.Join(folder, filepath.FromSlash(name))
		if err := write(at, []byte(text)); err != nil {
			return nil, err
		}
		replace[filepath.Join(t.root, filepath.FromSlash(name))] = at
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return nil, err
	}
	return o, write(o.list, list)
}

func write(name string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	return os.WriteFile(name, data, 0o644)
}

func output(cmd *exec.Cmd) (string, error) {
	var said bytes.Buffer
	cmd.Stderr = &said
	out, err := cmd.Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w: %s", strings.Join(cmd.Args, " "), err, said.String())
	}
	return string(out), nil
}
