package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// unfold puts in the place of each folder its definitions, and tells how many folders there were.
// One without any stays, to be told as what could not be read.
func unfold(named []string) (files []string, folders int) {
	for _, name := range named {
		info, err := os.Stat(name)
		if name == "-" || err != nil || !info.IsDir() {
			files = append(files, name)
			continue
		}
		folders++
		within := definitionsIn(name)
		if len(within) == 0 {
			within = []string{name}
		}
		files = append(files, within...)
	}
	return files, folders
}

// definitionsIn returns the files of a folder that end in .toml, in the order of their names:
// not the hidden ones, and none of the folders within it.
func definitionsIn(folder string) []string {
	entries, err := os.ReadDir(folder) // sorted by name
	if err != nil {
		return nil
	}
	var files []string
	for _, e := range entries {
		name := e.Name()
		if filepath.Ext(name) != ".toml" || strings.HasPrefix(name, ".") {
			continue
		}
		path := filepath.Join(folder, name)
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			continue
		}
		files = append(files, path)
	}
	return files
}

// emptyFolder says why nothing is read of a folder.
func emptyFolder(folder string) error {
	if _, err := os.ReadDir(folder); err != nil {
		return fmt.Errorf("reading folder %s: %w", folder, err)
	}
	return fmt.Errorf("folder %s has no file that ends in .toml: hidden files and folders within it are left out, so name those that are meant", folder)
}
