package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// browserNames are what the browser of these tests may be called.
var browserNames = []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "/Applications/Chromium.app/Contents/MacOS/Chromium"}

var errNoBrowser = errors.New("no Chromium found: install one (Debian: apt-get install chromium) to run the browser tests")

// chromium is the one browser of all tests, started when the first of them
// asks for it.
var chromium = sync.OnceValues(func() (context.Context, error) {
	path := ""
	for _, name := range browserNames {
		if found, err := exec.LookPath(name); err == nil && path == "" {
			path = found
		}
	}
	if path == "" {
		return nil, errNoBrowser
	}
	certificate, err := trusted()
	if err != nil {
		return nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.Flag("hide-scrollbars", false), chromedp.Flag("lang", "en-GB"),
		chromedp.Flag("host-resolver-rules", "MAP "+trustedHost+" 127.0.0.1"), chromedp.Flag("ignore-certificate-errors-spki-list", pin(certificate)))
	if os.Geteuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, cancel := chromedp.NewContext(alloc)
	closeChromium = func() { cancel(); stopAlloc() }
	return ctx, chromedp.Do(ctx)
})

// closeChromium ends the browser, if it was started.
var closeChromium = func() {}

func TestMain(m *testing.M) {
	code := m.Run()
	closeChromium()
	os.Exit(code)
}

// tab is a tab of the browser with cookies of its own, on a shop or the
// gallery. It touches what a finger could touch.
type tab struct {
	t    *testing.T
	ctx  context.Context
	home string
	taps int

	mu         sync.Mutex
	complaints []string // of the console, since they were last asked for
}

// browse opens a tab as a phone of 390 by 844 points with a touch screen. The
// test is skipped where no browser is found, unless DROSSWISE_BROWSER says that
// it is required.
func browse(t *testing.T, home string) *tab {
	t.Helper()
	root, err := chromium()
	if errors.Is(err, errNoBrowser) && os.Getenv("DROSSWISE_BROWSER") != "required" {
		t.Skip(err)
	}
	require.NoError(t, err)
	b := &tab{t: t, home: home}
	ctx, cancel := chromedp.NewContext(root, chromedp.WithNewBrowserContext(), chromedp.WithListener(b.listen))
	t.Cleanup(cancel)
	b.ctx = ctx
	_, err = chromedp.Call(ctx, log.Enable, cdp.Empty{})
	require.NoError(t, err)
	b.size(390, 844)
	return b
}

// size makes the tab a phone or, from 600 points on, a bigger screen without
// touch.
func (b *tab) size(width, height int64) {
	b.t.Helper()
	options := []chromedp.EmulateViewportOption{}
	if width < 600 {
		options = append(options, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait)
	}
	b.do(chromedp.EmulateViewport(width, height, options...))
}

// scripts switches scripts of pages on or off.
func (b *tab) scripts(on bool) {
	b.t.Helper()
	b.do(call(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on}))
}

// scheme sets what the device prefers: light or dark.
func (b *tab) scheme(name string) {
	b.t.Helper()
	b.do(call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: name}, {Name: "prefers-reduced-motion", Value: "reduce"}}}))
}

// listen collects what the browser complains of.
func (b *tab) listen(ev any) {
	complain := func(text string) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.complaints = append(b.complaints, text)
	}
	switch ev := ev.(type) {
	case *runtime.EventExceptionThrown:
		complain("exception: " + ev.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		if ev.Type == runtime.ConsoleAPICalledTypeError || ev.Type == runtime.ConsoleAPICalledTypeWarning {
			complain("console: " + fmt.Sprint(ev.Args))
		}
	case *log.EventEntryAdded:
		if ev.Entry.Level == log.EntryLevelError || ev.Entry.Level == log.EntryLevelWarning {
			complain(string(ev.Entry.Source) + ": " + ev.Entry.Text + " " + ev.Entry.URL)
		}
	}
}

// complained gives the complaints since it was last asked.
func (b *tab) complained() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	all := b.complaints
	b.complaints = nil
	return all
}

// patience is how long anything on a page may take.
const patience = 20 * time.Second

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	require.NoError(b.t, chromedp.Do(ctx, steps...))
}

// call makes a step of a command whose answer does not matter.
func call[P, R any](command cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, command, params)
		return err
	})
}

// ask evaluates an expression on the page. It also works where the page's own
// scripts are off.
func ask[T any](b *tab, js string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	got, err := chromedp.Run(ctx, chromedp.Evaluate[T](js, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err, "%.200s", js)
	return got
}

// open goes to an address of the shop.
func (b *tab) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.home + path))
}

// where is the path of the page that is open.
func (b *tab) where() string {
	b.t.Helper()
	return strings.TrimPrefix(ask[string](b, "location.href"), b.home)
}

// text is what can be read on the page, with single plain spaces.
func (b *tab) text() string {
	b.t.Helper()
	return strings.Join(strings.Fields(ask[string](b, "document.body?.innerText || ''")), " ")
}
