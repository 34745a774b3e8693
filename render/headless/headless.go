// Package headless gives tests a browser without a window.
//
// TestMain of a package whose tests take a Tab runs them by Tests, which ends the
// browser when they have. RAKELIGHT_NO_BROWSER=1 leaves such tests out.
package headless

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/gofrs/flock"
)

// Chromium is the path of a Chromium or Chrome. Where there is none it is installed from
// the system's packages if we may, else the test says what to install.
func Chromium(t *testing.T) string {
	t.Helper()
	if os.Getenv("RAKELIGHT_NO_BROWSER") != "" {
		t.Skip("RAKELIGHT_NO_BROWSER is set")
	}
	path, err := found()
	if err != nil && runtime.GOOS == "linux" && os.Geteuid() == 0 {
		t.Log("installing chromium from the system's packages")
		path, err = install()
	}
	if err != nil {
		t.Fatalf("the browser tests need Chromium (%v): install it (Debian: apt-get install chromium), "+
			"or set RAKELIGHT_NO_BROWSER=1 to leave them out", err)
	}
	return path
}

// found is the path of a browser that is installed.
func found() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome",
		"/Applications/Chromium.app/Contents/MacOS/Chromium",
		"/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
		filepath.Join(os.Getenv("ProgramFiles"), "Google", "Chrome", "Application", "chrome.exe")} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errors.New("none was found")
}

// install installs one, and waits while the tests of another package do.
func install() (string, error) {
	one := flock.New(filepath.Join(os.TempDir(), "rakelight-browser.lock"))
	if err := one.Lock(); err != nil {
		return "", err
	}
	defer func() { _ = one.Unlock() }() // it ends with the process at the latest
	if path, err := found(); err == nil {
		return path, nil
	}
	for _, args := range [][]string{{"update", "-qq"},
		{"install", "-y", "-qq", "--no-install-recommends", "chromium"}} {
		cmd := exec.Command("apt-get", args...)
		cmd.Env = append(os.Environ(), "DEBIAN_FRONTEND=noninteractive")
		if out, err := cmd.CombinedOutput(); err != nil {
			return "", fmt.Errorf("apt-get %v: %w\n%s", args, err, out)
		}
	}
	return found()
}

// shared is the one browser of all tests of a package: each takes a tab.
var shared struct {
	sync.Once
	ctx  context.Context
	err  error
	stop func()
}

// Tab is the context of a new tab of a browser with a profile of its own, for six
// minutes at most. Nothing in it calls home.
func Tab(t *testing.T) context.Context {
	t.Helper()
	path := Chromium(t)
	shared.Do(func() { start(path) })
	if shared.err != nil {
		t.Fatal(shared.err)
	}
	ctx, closeTab := chromedp.NewContext(shared.ctx)
	ctx, timeout := context.WithTimeout(ctx, 6*time.Minute)
	t.Cleanup(func() { timeout(); closeTab() })
	return ctx
}

func start(path string) {
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

// Tests are those of a package.
type Tests struct{ *testing.M }

// Run runs them, and ends the browser when they have.
func (t Tests) Run() int {
	code := t.M.Run()
	if shared.stop != nil {
		shared.stop()
	}
	return code
}
