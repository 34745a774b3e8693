// A page is opened by what the system opens pages with.

package main

import (
	"os"
	"os/exec"
	"runtime"
)

// hasDisplay reports whether there is a screen to open a page on: what runs X11 or
// Wayland says so, macOS and Windows have one.
func hasDisplay() bool {
	switch runtime.GOOS {
	case "darwin", "windows":
		return true
	}
	return os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}

// openPage has the browser open an address. Nothing depends on it: the address is
// printed as well. It does not wait for the browser.
func openPage(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		return err
	}
	go func() { _ = cmd.Wait() }() // what became of it the person sees
	return nil
}
