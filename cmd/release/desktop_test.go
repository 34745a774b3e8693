package main

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"image"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The desktop entry has what Desktop Entry Specification 1.4 demands, and passes
// desktop-file-validate of desktop-file-utils where that is installed.
func TestDesktopEntry(t *testing.T) {
	keys := map[string]string{}
	for i, line := range strings.Split(strings.TrimSpace(desktopFile), "\n") {
		if i == 0 {
			if line != "[Desktop Entry]" {
				t.Fatalf("it begins with %q", line)
			}
			continue
		}
		key, value, ok := strings.Cut(line, "=")
		if !ok || keys[key] != "" {
			t.Errorf("%q is no line, or a second one", line)
		}
		keys[key] = value
	}
	for key, want := range map[string]string{"Type": "Application", "Name": "Rakelight", "Exec": "rakelight start", "Icon": "rakelight", "Terminal": "false"} {
		if keys[key] != want {
			t.Errorf("%s is %q, want %q", key, keys[key], want)
		}
	}
	validate, err := exec.LookPath("desktop-file-validate")
	if err != nil {
		t.Skip("desktop-file-validate is not here (Debian: desktop-file-utils): the entry was looked at by this test alone")
	}
	file := filepath.Join(t.TempDir(), "rakelight.desktop")
	if err := os.WriteFile(file, []byte(desktopFile), 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(validate, file).CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("%v: %s", err, out)
	}
}

// Each archive holds the program where its system looks for it, and an icon that can
// be read.
func TestDesktopFilesBySystem(t *testing.T) {
	for system, want := range map[string][]string{
		"linux": {"rakelight", "share/applications/rakelight.desktop", "share/icons/hicolor/scalable/apps/rakelight.svg",
			"share/icons/hicolor/48x48/apps/rakelight.png"},
		"darwin":  {"Rakelight.app/Contents/MacOS/rakelight", "Rakelight.app/Contents/Info.plist", "Rakelight.app/Contents/Resources/rakelight.icns", "rakelight"},
		"windows": {"rakelight.exe", "rakelight.ico"},
	} {
		all, err := forDesktop(system, source{version: "v1.2.0"}, []byte("program"))
		if err != nil {
			t.Fatal(err)
		}
		by := map[string]entry{}
		for _, e := range all {
			by[e.name] = e
		}
		for _, name := range want {
			e, ok := by[name]
			if !ok {
				t.Errorf("%s has no %s", system, name)
			}
			if to, linked := by[e.link]; e.link != "" && (!linked || !to.runs) {
				t.Errorf("%s: %s leads to %s, which is no program of it", system, name, e.link)
			}
			switch filepath.Ext(name) {
			case ".svg", ".plist":
				if err := wellFormed(e.data); err != nil {
					t.Errorf("%s: %v", name, err)
				}
			case ".png":
				if img, err := png.Decode(bytes.NewReader(e.data)); err != nil || img.Bounds().Dx() != 48 {
					t.Errorf("%s: %v", name, err)
				}
			}
		}
	}
	for version, want := range map[string]string{"v1.2.0": "1.2.0", "v0-20260314-abc": "0", "": "0", "trial": "0"} {
		if got := plain(version); got != want {
			t.Errorf("%q is %q to macOS, want %q", version, got, want)
		}
	}
}

func wellFormed(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// What the headers of the icons say is where the pictures are.
func TestIconsHoldTheirPictures(t *testing.T) {
	ico, err := iconICO()
	if err != nil {
		t.Fatal(err)
	}
	n := int(binary.LittleEndian.Uint16(ico[4:]))
	for i := range n {
		e := ico[6+16*i:]
		size, at := binary.LittleEndian.Uint32(e[8:]), binary.LittleEndian.Uint32(e[12:])
		img, err := png.Decode(bytes.NewReader(ico[at : at+size]))
		if err != nil || byte(img.Bounds().Dx()) != e[0] {
			t.Errorf("picture %d of the .ico: %v", i, err)
		}
	}
	icns, err := iconICNS()
	if err != nil {
		t.Fatal(err)
	}
	if string(icns[:4]) != "icns" || int(binary.BigEndian.Uint32(icns[4:])) != len(icns) {
		t.Errorf("the .icns begins with %q", icns[:8])
	}
	wide := map[string]int{"ic07": 128, "ic08": 256, "ic09": 512}
	for rest := icns[8:]; len(rest) > 0; {
		size := binary.BigEndian.Uint32(rest[4:])
		img, err := png.Decode(bytes.NewReader(rest[8:size]))
		if err != nil || img.Bounds().Dx() != wide[string(rest[:4])] {
			t.Errorf("%s of the .icns: %v", rest[:4], err)
		}
		rest = rest[size:]
	}
}

// The icon shows something at the smallest size: the lamp, and the lit runner.
func TestIconIsSeenSmall(t *testing.T) {
	img := iconImage(16)
	if lamp, dark := img.At(3, 3), img.At(12, 2); bright(lamp) < bright(dark)+80 {
		t.Errorf("the lamp is %v on %v", lamp, dark)
	}
	if runner := img.At(5, 11); bright(runner) < 180 {
		t.Errorf("the runner is %v", runner)
	}
	if _, _, _, a := img.At(0, 0).RGBA(); a > 0x8000 {
		t.Error("the corners are not cut")
	}
	if img.Bounds() != image.Rect(0, 0, 16, 16) {
		t.Error(img.Bounds())
	}
}

func bright(c interface{ RGBA() (r, g, b, a uint32) }) int {
	r, g, b, _ := c.RGBA()
	return int(r+g+b) / 3 >> 8
}
