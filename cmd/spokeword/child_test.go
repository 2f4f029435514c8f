package main

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// childMark in the environment makes the test binary be the program.
const childMark = "BE_THE_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(childMark) != "" {
		os.Unsetenv(childMark)
		main()
	}
	os.Exit(m.Run())
}

// patience is how long a test waits for a child that hangs before it fails.
const patience = time.Minute

// child is the program as a process of its own.
type child struct {
	t      *testing.T
	cmd    *exec.Cmd
	exited chan struct{} // closed when it has

	mu      sync.Mutex
	out     strings.Builder // standard output
	log     strings.Builder // standard error
	grew    chan struct{}   // closed and renewed when log grew
	logDone chan struct{}
}

// start runs the program in an environment. It is killed at the test's end.
func start(t *testing.T, env map[string]string, args ...string) *child {
	self, err := os.Executable()
	require.NoError(t, err)
	c := &child{t: t, exited: make(chan struct{}), grew: make(chan struct{}), logDone: make(chan struct{})}
	c.cmd = exec.Command(self, args...)
	c.cmd.Env = append(environOf(env), childMark+"=1")
	errs, err := c.cmd.StderrPipe()
	require.NoError(t, err)
	out, err := c.cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.cmd.Start())
	var reading sync.WaitGroup
	reading.Go(func() {
		for lines := bufio.NewReader(errs); ; {
			line, err := lines.ReadString('\n')
			c.mu.Lock()
			c.log.WriteString(line)
			close(c.grew)
			c.grew = make(chan struct{})
			c.mu.Unlock()
			if err != nil {
				close(c.logDone)
				return
			}
		}
	})
	reading.Go(func() {
		text, _ := io.ReadAll(out)
		c.mu.Lock()
		defer c.mu.Unlock()
		c.out.Write(text)
	})
	go func() {
		reading.Wait()
		_ = c.cmd.Wait() // the state tells
		close(c.exited)
	}()
	t.Cleanup(func() { c.kill() })
	return c
}

// printed returns all that it wrote so far.
func (c *child) printed() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.out.String() + c.log.String()
}

// logged waits for a line of the log with that message, and returns it.
func (c *child) logged(message string) map[string]any {
	c.t.Helper()
	timeout := time.After(patience)
	for {
		c.mu.Lock()
		text, grew := c.log.String(), c.grew
		c.mu.Unlock()
		for l := range strings.Lines(text) {
			var o map[string]any
			if json.Unmarshal([]byte(l), &o) == nil && o["msg"] == message {
				return o
			}
		}
		select {
		case <-grew:
		case <-c.logDone:
			c.t.Fatalf("ended without logging %q:\n%s", message, text)
		case <-timeout:
			c.t.Fatalf("did not log %q:\n%s", message, text)
		}
	}
}

// at returns the address that a line of the log tells.
func (c *child) at(message string) string {
	c.t.Helper()
	address, _ := c.logged(message)["listen"].(string)
	return "http://" + address
}

// ended waits for the end and returns the exit code.
func (c *child) ended() int {
	c.t.Helper()
	select {
	case <-c.exited:
	case <-time.After(patience):
		c.t.Fatalf("did not end:\n%s", c.printed())
	}
	return c.cmd.ProcessState.ExitCode()
}

// terminate tells it to end.
func (c *child) terminate() { require.NoError(c.t, c.cmd.Process.Signal(syscall.SIGTERM)) }

// kill ends it without asking, and waits.
func (c *child) kill() {
	_ = c.cmd.Process.Kill() // it may have ended
	<-c.exited
}

// pageOf gets a page of the operators'.
func pageOf(t *testing.T, address string) (status int, text string) {
	ctx, stop := context.WithTimeout(context.Background(), patience)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	require.NoError(t, err)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer.StatusCode, string(body)
}
