// Command release builds Rakelight for all systems it is promised for, from a
// clean checkout, into one archive a system and a list of their checksums:
//
//	go run ./cmd/release -version v1.2.0 DIR
//
// The same commit and the same Go release give the same bytes, whoever builds
// them and where: paths are trimmed, all times are that of the commit. Each archive
// holds the program, LICENSE, NOTICE, the licenses of all that is built in, README.md,
// the manual page, completions for shells, and what its desktop shows it by: an entry
// and icons, or an application bundle. A checkout with changes is refused.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"
)

var (
	systems = []string{"linux", "darwin", "windows"}
	arches  = []string{"amd64", "arm64"}
	shells  = map[string]string{"bash": "rakelight.bash", "zsh": "_rakelight", "fish": "rakelight.fish",
		"powershell": "rakelight.ps1"}
	texts = []string{"LICENSE", "NOTICE", "README.md"}
)

func main() {
	version := flag.String("version", "", "what `rakelight version` says, such as v1.2.0; \"\" = the commit's date and digits")
	flag.Parse()
	if flag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "usage: go run ./cmd/release [-version VERSION] DIR")
		os.Exit(2)
	}
	if err := build(*version, flag.Arg(0)); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// build makes all archives in dir, which is made where it is missing.
func build(version, dir string) error {
	changed, err := output("git", "status", "--porcelain")
	if err != nil {
		return err
	}
	if changed != "" {
		return fmt.Errorf("the checkout has changes, so nobody could build the same again; commit or stash them:\n%s",
			changed)
	}
	of, err := headCommit()
	if err != nil {
		return err
	}
	if version == "" {
		version = "v0-" + of.at.Format("20060102") + "-" + of.digits
	}
	of.version = version
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "release-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	common, err := documents(of, work)
	if err != nil {
		return err
	}
	var made []string
	for _, system := range systems {
		for _, arch := range arches {
			name, err := archiveFor(system, arch, of, work, dir, common)
			if err != nil {
				return fmt.Errorf("%s/%s: %w", system, arch, err)
			}
			fmt.Println(name)
			made = append(made, name)
		}
	}
	return writeSums(dir, made)
}

// documents are the files that every archive holds; those made from the help are
// made by a program built for this machine.
func documents(of source, work string) ([]entry, error) {
	var out []entry
	for _, name := range texts {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("%w (the release is built from the folder that holds go.mod)", err)
		}
		out = append(out, entry{name: name, data: data})
		if name == "NOTICE" {
			words, err := licenses(data)
			if err != nil {
				return nil, err
			}
			out = append(out, words...)
		}
	}
	here := filepath.Join(work, "here")
	if err := compile(runtime.GOOS, runtime.GOARCH, of, here); err != nil {
		return nil, err
	}
	asked := map[string][]string{"rakelight.1": {"help", "man"}}
	for shell, file := range shells {
		asked["completions/"+file] = []string{"help", "completion", shell}
	}
	for name, args := range asked {
		data, err := exec.Command(here, args...).Output()
		if err != nil {
			return nil, fmt.Errorf("rakelight %s: %w", strings.Join(args, " "), err)
		}
		out = append(out, entry{name: name, data: data})
	}
	return out, nil
}

func archiveFor(system, arch string, of source, work, dir string, common []entry) (string, error) {
	pack, suffix := tarball, ".tar.gz"
	if system == "windows" {
		pack, suffix = zipped, ".zip"
	}
	to := filepath.Join(work, system+"-"+arch)
	if err := compile(system, arch, of, to); err != nil {
		return "", err
	}
	data, err := os.ReadFile(to)
	if err != nil {
		return "", err
	}
	name := fmt.Sprintf("rakelight-%s-%s-%s", of.version, system, arch)
	var packed bytes.Buffer
	own, err := forDesktop(system, of, data)
	if err != nil {
		return "", err
	}
	if err := pack(&packed, name, of.at, append(own, common...)); err != nil {
		return "", err
	}
	return name + suffix, os.WriteFile(filepath.Join(dir, name+suffix), packed.Bytes(), 0o644)
}

// source is what a release is built from.
type source struct {
	version, digits string
	at              time.Time // of the commit
}

func headCommit() (source, error) {
	digits, err := output("git", "rev-parse", "--short=12", "HEAD")
	if err != nil {
		return source{}, err
	}
	stamp, err := output("git", "log", "-1", "--format=%ct")
	if err != nil {
		return source{}, err
	}
	seconds, err := strconv.ParseInt(stamp, 10, 64)
	if err != nil {
		return source{}, fmt.Errorf("the time of the commit: %w", err)
	}
	return source{digits: digits, at: time.Unix(seconds, 0).UTC()}, nil
}

func compile(system, arch string, of source, to string) error {
	// Go's own note of the commit is left out: it is not made in every kind of
	// checkout, and then the bytes would differ.
	known := fmt.Sprintf("-s -w -buildid= -X main.release=%s -X main.commit=%s -X main.committed=%s", of.version,
		of.digits, of.at.Format(time.DateOnly))
	cmd := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-ldflags", known, "-o", to, "./cmd/rakelight")
	// Whatever flags the person's own environment holds would be in the bytes.
	cmd.Env = append(os.Environ(), "GOFLAGS=", "CGO_ENABLED=0", "GOOS="+system, "GOARCH="+arch, "GOAMD64=v1",
		"GOARM64=v8.0")
	said, err := cmd.CombinedOutput()
	if err != nil {
		return fmt.Errorf("go build: %w\n%s", err, said)
	}
	return nil
}

// output is what a command printed, without the end of the line.
func output(name string, args ...string) (string, error) {
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		return "", fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	return strings.TrimSpace(string(out)), nil
}
