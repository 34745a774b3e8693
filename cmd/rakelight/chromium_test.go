// Finding a browser for the tests, and installing one where that is possible.

package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/cmd/rakelight/demo"
	"rakelight/journal/disk/scratch"
)

// chromium is the path of a Chromium or Chrome. Where there is none it is
// installed from the system's packages if we may, else the test says what to
// install. RAKELIGHT_NO_BROWSER=1 leaves the browser tests out.
func chromium(t *testing.T) string {
	t.Helper()
	if os.Getenv("RAKELIGHT_NO_BROWSER") != "" {
		t.Skip("RAKELIGHT_NO_BROWSER is set")
	}
	if path := installedChromium(); path != "" {
		return path
	}
	if apt, err := exec.LookPath("apt-get"); err == nil && runtime.GOOS == "linux" && os.Geteuid() == 0 {
		t.Log("installing chromium from the system's packages")
		for _, args := range [][]string{{"update", "-qq"}, {"install", "-y", "-qq", "--no-install-recommends", "chromium"}} {
			cmd := exec.Command(apt, args...)
			cmd.Env = append(os.Environ(), "DEBIAN_FRONTEND=noninteractive")
			if out, err := cmd.CombinedOutput(); err != nil {
				t.Fatalf("apt-get %v: %v\n%s", args, err, out)
			}
		}
		if path := installedChromium(); path != "" {
			return path
		}
	}
	t.Fatal("the browser tests need Chromium: install it (Debian: apt-get install chromium), or set RAKELIGHT_NO_BROWSER=1 to leave them out")
	return ""
}

func installedChromium() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	for _, path := range []string{
		"/Applications/Chromium.app/Contents/MacOS/Chromium",
		"/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
		filepath.Join(os.Getenv("ProgramFiles"), "Google", "Chrome", "Application", "chrome.exe"),
	} {
		if _, err := os.Stat(path); err == nil {
			return path
		}
	}
	return ""
}

// shared is the one browser of all tests of this package: each takes a tab.
var shared struct {
	sync.Once
	ctx  context.Context
	err  error
	stop func()
}

// browser returns the context of a new tab of a headless browser with a profile of
// its own. Nothing in it calls home.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := chromium(t)
	shared.Do(func() { startBrowser(path) })
	if shared.err != nil {
		t.Fatal(shared.err)
	}
	ctx, closeTab := chromedp.NewContext(shared.ctx)
	ctx, timeout := context.WithTimeout(ctx, 6*time.Minute)
	t.Cleanup(func() { timeout(); closeTab() })
	return ctx
}

func startBrowser(path string) {
	profile, err := os.MkdirTemp("", "rakelight-browser-")
	if err != nil {
		shared.err = err
		return
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.UserDataDir(profile),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("disable-quic", true), chromedp.DisableGPU,
	)
	if runtime.GOOS == "linux" && os.Geteuid() == 0 {
		opts = append(opts, chromedp.NoSandbox) // the sandbox refuses to start as root
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, stop := chromedp.NewContext(alloc)
	shared.ctx, shared.err = ctx, chromedp.Do(ctx) // starts it, and it lives as long as ctx
	shared.stop = func() {
		stop()
		stopAlloc()
		_ = os.RemoveAll(profile)
	}
}

// shelf is a folder for what several tests look at. It lives as long as they run.
var shelf string

// withBrowser runs the tests, and ends the browser when they have. The photos of the demo
// are drawn 840 pixels wide, with RAKELIGHT_DEMO_WHOLE=1 as a person gets them.
type withBrowser struct{ *testing.M }

func (m withBrowser) Run() int {
	defer scratch.Use()()
	if os.Getenv("RAKELIGHT_DEMO_WHOLE") == "" {
		demo.PhotoWidth = 840
	}
	var err error
	if shelf, err = os.MkdirTemp("", "rakelight-shelf-"); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(shelf)
	code := m.M.Run()
	if shared.stop != nil {
		shared.stop()
	}
	return code
}
