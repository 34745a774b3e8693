// The licenses of what is built in: most of them ask that their words go along with
// the program.

package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// licenseFile is what the words of a license are called.
var licenseFile = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)([.-].*)?$`)

// namedLicense is a file of this folder that NOTICE names as one.
var namedLicense = regexp.MustCompile(`(?m)^\s*license: (\S+)$`)

// licenses are the words of the licenses in the folder licenses: of what NOTICE tells
// of, of the fonts, of Go, and of each module the program is built with on any system.
func licenses(notice []byte) ([]entry, error) {
	var out []entry
	add := func(file, as string) error {
		data, err := os.ReadFile(file)
		out = append(out, entry{name: "licenses/" + as, data: data})
		return err
	}
	for _, m := range namedLicense.FindAllSubmatch(notice, -1) {
		if err := add(filepath.FromSlash(string(m[1])), string(m[1])); err != nil {
			return nil, err
		}
	}
	fonts, err := filepath.Glob(filepath.Join("site", "fonts", "OFL-*.txt"))
	if err != nil || len(fonts) == 0 {
		return nil, errors.Join(err, errors.New("the license of the fonts is missing"))
	}
	for _, file := range fonts {
		if err := add(file, filepath.ToSlash(file)); err != nil {
			return nil, err
		}
	}
	folders, err := moduleFolders()
	if err != nil {
		return nil, err
	}
	for module, dir := range folders {
		files, err := os.ReadDir(dir)
		if err != nil {
			return nil, err
		}
		n := 0
		for _, f := range files {
			if f.Type().IsRegular() && licenseFile.MatchString(f.Name()) {
				n++
				if err := add(filepath.Join(dir, f.Name()), path.Join(module, f.Name())); err != nil {
					return nil, err
				}
			}
		}
		if n == 0 {
			return nil, fmt.Errorf("%s has no license beside it: %w", module, fs.ErrNotExist)
		}
	}
	return out, nil
}

// moduleFolders are where the modules lie that the program is built with on any system,
// by name; "go" is Go itself.
func moduleFolders() (map[string]string, error) {
	root, err := output("go", "env", "GOROOT")
	if err != nil {
		return nil, err
	}
	folders := map[string]string{"go": root}
	for _, system := range systems {
		cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Dir}}{{end}}{{end}}",
			"./cmd/rakelight")
		cmd.Env = append(os.Environ(), "GOFLAGS=", "CGO_ENABLED=0", "GOOS="+system)
		list, err := cmd.Output()
		if err != nil {
			return nil, fmt.Errorf("go list: %w", err)
		}
		lines := slices.Compact(strings.Split(strings.TrimSpace(string(list)), "\n"))
		for _, line := range lines {
			if module, dir, ok := strings.Cut(line, "\t"); ok {
				folders[module] = dir
			}
		}
	}
	return folders, nil
}
