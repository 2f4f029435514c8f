package discord_test

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spokeword/bot/discord"
	"spokeword/bot/discordfake"
)

// TestLinkOverTLS reaches the service as it is reached in earnest: encrypted,
// by a name whose certificate is checked.
func TestLinkOverTLS(t *testing.T) {
	for _, trusted := range []bool{true, false} {
		var front *httptest.Server
		b := newBench(t, discord.Gateway, with{still: true, adapter: func(o *discord.Options) {
			u, err := url.Parse(o.APIURL)
			require.NoError(t, err)
			proxy := httputil.NewSingleHostReverseProxy(u)
			proxy.ModifyResponse = func(r *http.Response) error {
				if !strings.Contains(r.Request.URL.Path, "/gateway") {
					return nil
				}
				body, err := io.ReadAll(r.Body)
				if err != nil {
					return err
				}
				body = bytes.ReplaceAll(body, []byte("ws://"+u.Host), []byte("wss://"+strings.TrimPrefix(front.URL, "https://")))
				r.Body, r.ContentLength = io.NopCloser(bytes.NewReader(body)), int64(len(body))
				r.Header.Del("Content-Length")
				return nil
			}
			front = httptest.NewTLSServer(proxy)
			t.Cleanup(front.Close)
			o.APIURL = front.URL
			if trusted {
				o.Client = front.Client()
			}
		}})
		b.run()
		if trusted {
			b.online()
			m := b.send(asking(discordfake.InGuild("7"), question))
			assert.Contains(t, discordfake.Text(m), answered)
			b.good()
			continue
		}
		require.Eventually(t, func() bool { return strings.Contains(b.log.String(), "certificate") }, soon, time.Millisecond)
		assert.Zero(t, b.fake.Links())
	}
}
