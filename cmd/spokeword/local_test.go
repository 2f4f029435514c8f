package main

import (
	"bufio"
	"context"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// browser returns the path of a browser, or leaves the test out where there is
// none; the gate installs one.
func browser(t *testing.T) string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv("CI") == "true" {
		require.Fail(t, "found no browser: want the package chromium")
	}
	t.Skip("found no browser (the package chromium): the page is not tested here")
	return ""
}

// onPage runs the program with --local and returns the page's address.
func onPage(t *testing.T) string {
	ctx, stop := context.WithCancel(context.Background())
	out, shown := io.Pipe()
	code := make(chan int, 1)
	var errs strings.Builder
	go func() {
		code <- run(ctx, []string{"serve", "--local", "--listen", "127.0.0.1:0"}, nil, strings.NewReader(""), shown, &errs)
		shown.Close()
	}()
	t.Cleanup(func() {
		stop()
		assert.Equal(t, answered, <-code, errs.String())
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	address := regexp.MustCompile(`http://[^ ]+`).FindString(line)
	require.NotEmpty(t, address, line)
	return address
}

// TestLocalPage tries the bot as a newcomer would: in a browser, typing,
// pressing and filling in, on both sides.
func TestLocalPage(t *testing.T) {
	path := browser(t)
	address := onPage(t)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.WindowSize(390, 844))
	allocator, stop := chromedp.NewExecAllocator(t.Context(), options...)
	defer stop()
	tab, stop := chromedp.NewContext(allocator)
	defer stop()
	require.NoError(t, chromedp.Run(tab, chromedp.Navigate(address)))
	for _, side := range []string{"slack", "discord"} {
		t.Run(side, func(t *testing.T) {
			at := func(n int) string {
				return "#" + side + " .log .entry:nth-of-type(" + []string{"", "1", "2", "3", "4", "5", "6"}[n] + ")"
			}
			var first, pressed, filled string
			require.NoError(t, chromedp.Run(tab,
				chromedp.SendKeys("#"+side+" .say input", "pressure 29x2.4 i30 trail\r", chromedp.ByQuery),
				chromedp.Text(at(2), &first, chromedp.ByQuery)))
			assert.Contains(t, first, "How heavy is the rider")
			assert.Contains(t, first, "Caution:")
			assert.Contains(t, first, "only you see this")
			require.NoError(t, chromedp.Run(tab,
				chromedp.Click(`//section[@id="`+side+`"]//article//button[text()="other…"]`, chromedp.BySearch),
				chromedp.SendKeys(at(4)+" input", "83 kg", chromedp.ByQuery),
				chromedp.Click(at(4)+" form button", chromedp.ByQuery),
				chromedp.Text(at(6), &filled, chromedp.ByQuery)))
			assert.Contains(t, filled, "rider 83 kg")
			assert.Contains(t, filled, "Front 23.5 psi")
			require.NoError(t, chromedp.Run(tab,
				chromedp.Click(`//section[@id="`+side+`"]//article//button[text()="share in channel"]`, chromedp.BySearch),
				chromedp.Text("#"+side+" .log .entry:not(.only)", &pressed, chromedp.ByQuery)))
			assert.Contains(t, pressed, "everybody in the channel")
			assert.Contains(t, pressed, "Front 23.5 psi")
			assert.NotContains(t, pressed, "83")
		})
	}
}
