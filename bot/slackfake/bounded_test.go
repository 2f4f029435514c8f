package slackfake

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestBounded holds that nothing kept grows with what happens.
func TestBounded(t *testing.T) {
	const keep = 10
	s, err := New(Options{Keep: keep})
	require.NoError(t, err)
	defer s.Close()
	for range 50 * keep {
		in := s.Command(Wren, General, "/spoke", "")
		s.settleAnswer(in, Answer{Body: []byte(`{"text":"t","response_type":"in_channel"}`), Header: http.Header{"Content-Type": {"application/json"}}})
		out, refused := s.postMessage(args{"channel": General, "text": strings.Repeat("x", 4001), "blocks": []any{object{"type": "actions", "elements": []any{button("value", "v")}}}}, nil)
		require.Nil(t, refused)
		_, refused = s.postEphemeral(args{"channel": General, "user": Wren, "text": "t"}, nil)
		require.Nil(t, refused)
		_, refused = s.openView(args{"trigger_id": in.TriggerID, "view": object{"type": "modal", "title": plainText("t"), "blocks": []any{}}}, nil)
		require.Nil(t, refused)
		_, refused = s.connectionsOpen(nil, nil)
		require.Nil(t, refused)
		_, err := s.Push(t.Context(), s.AppUninstalled()) // fails, as there is no link
		require.Error(t, err)
		s.AddFile(Wren, "w.csv", []byte("x"))
		s.Fail("x", 1, Fault{Status: 500})
		s.fault("x")
		s.violation("here", "a fault")
		require.NotEmpty(t, out["ts"])
	}
	for what, n := range map[string]int{"log": len(s.log), "untaken": len(s.untaken), "messages": len(s.messages[General]), "ephemerals": len(s.ephemerals[Wren]),
		"views": len(s.views.order), "files": len(s.files.order), "violations": len(s.violations), "notes": len(s.notes), "retry": len(s.retry),
		"response URLs": len(s.returns.order), "triggers": len(s.triggers.order), "faults": len(s.faults)} {
		assert.LessOrEqual(t, n, 4*keep+16, what)
	}
	assert.LessOrEqual(t, len(s.links.tickets.order), 216)
	assert.Len(t, s.Messages(General), keep)
	assert.Len(t, s.Views(), keep)
	assert.Len(t, s.Violations(), keep)
}
