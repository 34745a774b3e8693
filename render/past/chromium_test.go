// Finding a browser for the tests.

package past

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"rakelight/journal/disk/scratch"
)

// chromium is the path of a Chromium or Chrome. RAKELIGHT_NO_BROWSER=1 leaves the
// browser tests out.
func chromium(t *testing.T) string {
	t.Helper()
	if os.Getenv("RAKELIGHT_NO_BROWSER") != "" {
		t.Skip("RAKELIGHT_NO_BROWSER is set")
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome",
		"/Applications/Chromium.app/Contents/MacOS/Chromium", "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
		filepath.Join(os.Getenv("ProgramFiles"), "Google", "Chrome", "Application", "chrome.exe")} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("the browser tests need Chromium: install it (Debian: apt-get install chromium), or set RAKELIGHT_NO_BROWSER=1 to leave them out")
	return ""
}

// shared is the one browser of all tests of this package: each takes a tab.
var shared struct {
	sync.Once
	ctx  context.Context
	err  error
	stop func()
}

// browser is the context of a new tab of a headless browser with a profile of its own.
// Nothing in it calls home.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := chromium(t)
	shared.Do(func() { startBrowser(path) })
	if shared.err != nil {
		t.Fatal(shared.err)
	}
	ctx, closeTab := chromedp.NewContext(shared.ctx)
	ctx, timeout := context.WithTimeout(ctx, 4*time.Minute)
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

func TestMain(m *testing.M) {
	remove := scratch.Use()
	code := m.Run()
	if shared.stop != nil {
		shared.stop()
	}
	remove()
	os.Exit(code)
}
