package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// settled is how long a file must be left alone before it is read: an editor saves in several steps.
const settled = 150 * time.Millisecond

// watchable refuses what cannot be watched: several files, folders, standard input.
func (c *checkCall) watchable() error {
	switch {
	case !c.watch:
		return nil
	case c.several:
		return fmt.Errorf("--watch runs one file anew on each save, and %d are given: call check once for each", len(c.files))
	case c.files[0] == "-":
		return errors.New("--watch runs a file anew on each save, and standard input is none: name the file")
	case formatNamed(c.format).page != nil && c.output == "":
		return fmt.Errorf("--watch prints a report on each save, and --format %s is one file: write -o FILE.%s", c.format, formatNamed(c.format).ending)
	}
	return nil
}

// runWatching checks the file, and again whenever it was saved, until it is interrupted. What is wrong
// with the file is told and does not end it.
func (c *checkCall) runWatching(ctx context.Context, stdout, stderr io.Writer) error {
	if err := c.replaceable(); err != nil {
		return wrong(err)
	}
	saves, err := watch(ctx, c.files[0])
	if err != nil {
		return wrong(fmt.Errorf("watching %s: %w", c.files[0], err))
	}
	for n := 1; ; n++ {
		c.runOnce(ctx, n, stdout, stderr)
		select {
		case err, open := <-saves:
			if err != nil {
				return wrong(fmt.Errorf("watching %s: %w", c.files[0], err))
			}
			if open {
				continue
			}
		case <-ctx.Done():
		}
		return interrupted()
	}
}

// runOnce runs the n-th check, below a line that parts it from the one before.
func (c *checkCall) runOnce(ctx context.Context, n int, stdout, stderr io.Writer) {
	if n > 1 {
		head := fmt.Sprintf("__ run %d ", n)
		fmt.Fprintf(stdout, "\n%s%s\n\n", head, strings.Repeat("_", 80-len(head)))
	}
	err := c.run(ctx, strings.NewReader(""), stdout, stderr)
	code := exitPass
	var end *ending
	if errors.As(err, &end) {
		code = end.code
		if end.err != nil && code != exitInterrupted {
			end.tell(stderr)
		}
	}
	if code != exitInterrupted {
		fmt.Fprintf(stderr, "stanchion: run %d ends with %d; watching %s, Ctrl-C ends\n", n, code, printable(c.files[0]))
	}
}

// watch tells of each save of a file, until ctx is done: one that is written in its place, and one that takes
// its place by a rename, as many editors save. The folder is watched, for the file itself may be
// gone for a moment. An error that is sent is the last word.
func watch(ctx context.Context, file string) (<-chan error, error) {
	path, err := filepath.Abs(file)
	if err != nil {
		return nil, err
	}
	// A link is followed: what is saved is the file behind it.
	if behind, err := filepath.EvalSymlinks(path); err == nil {
		path = behind
	}
	if _, err := os.Stat(filepath.Dir(path)); err != nil {
		return nil, unwrapped(err)
	}
	watcher, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, err
	}
	if err := watcher.Add(filepath.Dir(path)); err != nil {
		return nil, errors.Join(err, watcher.Close())
	}
	saves := make(chan error)
	go func() {
		defer close(saves)
		defer func() { _ = watcher.Close() }() // nothing more is watched
		for {
			if err := awaitSave(ctx, watcher, path); err != nil {
				select {
				case saves <- err:
				case <-ctx.Done():
				}
				return
			}
			select {
			case saves <- nil:
			case <-ctx.Done():
				return
			}
		}
	}()
	return saves, nil
}

// unwrapped is the reason of an error of a path, which is named already.
func unwrapped(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// awaitSave waits until the file was saved and is left alone. Its error says why it can wait no more.
func awaitSave(ctx context.Context, watcher *fsnotify.Watcher, path string) error {
	var quiet <-chan time.Time // nil until something happened
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-quiet:
			if _, err := os.Stat(path); err == nil {
				return nil
			}
			quiet = nil // taken away: it may come back
		case event, open := <-watcher.Events:
			if !open {
				return errors.New("the system stopped telling of changes")
			}
			if event.Name == path && !event.Has(fsnotify.Chmod) {
				quiet = time.After(settled)
			}
			if folder := filepath.Dir(path); event.Name == folder && isGone(folder) {
				return errors.New("its folder is gone")
			}
		case err, open := <-watcher.Errors:
			if !open {
				return errors.New("the system stopped telling of changes")
			}
			return err
		}
	}
}

// isGone reports whether nothing has a name any more.
func isGone(name string) bool {
	_, err := os.Stat(name)
	return errors.Is(err, fs.ErrNotExist)
}
