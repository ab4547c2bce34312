package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// writable refuses an output that could not be replaced, or must not be: a
// folder, or the definition itself.
func writable(output, definition string) error {
	out, err := os.Stat(output)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		folder, err := os.Stat(filepath.Dir(output))
		if err != nil || !folder.IsDir() {
			return fmt.Errorf("-o %s: there is no folder %s", output, filepath.Dir(output))
		}
		return nil
	case err != nil:
		return fmt.Errorf("-o: %w", err)
	case out.IsDir():
		return fmt.Errorf("-o %s: that is a folder, name a file", output)
	}
	if in, err := os.Stat(definition); err == nil && os.SameFile(in, out) {
		return fmt.Errorf("-o %s: that is the definition itself, name another file", output)
	}
	return nil
}

// save writes data whole: into a new file of the same folder, which then takes
// the name. After an error the file of that name is as it was. A link is
// followed, and what is no ordinary file (a pipe, a device) is written to.
func save(name string, data []byte) error {
	if resolved, err := filepath.EvalSymlinks(name); err == nil {
		name = resolved
	}
	mode := fs.FileMode(0o666)
	if old, err := os.Stat(name); err == nil {
		if !old.Mode().IsRegular() {
			return os.WriteFile(name, data, mode)
		}
		mode = old.Mode().Perm()
	}
	fresh, err := create(name, mode)
	if err != nil {
		return err
	}
	_, err = fresh.Write(data)
	err = errors.Join(err, fresh.Sync(), fresh.Close())
	if err == nil {
		err = os.Rename(fresh.Name(), name)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("writing %s: %w", name, err), os.Remove(fresh.Name()))
	}
	return nil
}

// create opens a new file beside the named one. The system's own mask applies
// to the mode, which os.CreateTemp would not let it.
func create(name string, mode fs.FileMode) (*os.File, error) {
	for n := 0; ; n++ {
		beside := filepath.Join(filepath.Dir(name), fmt.Sprintf(".%s.%d-%d", filepath.Base(name), os.Getpid(), n))
		file, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if !errors.Is(err, fs.ErrExist) {
			return file, err
		}
	}
}
