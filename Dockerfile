# Spokeword as one static binary on an empty base: time zones and the roots of
# trust are inside the binary, nothing else is needed.
#
#   docker build -t spokeword .
#   docker run --rm -it --read-only spokeword
#   docker run --rm --read-only spokeword ask "pressure 80kg 29x2.4 i30 trail"
#   docker run -d --read-only --stop-timeout 20 -v spokeword:/var/lib/spokeword … spokeword serve
#
# Without a command it opens the chat. The README tells what serve needs.

FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
ARG RELEASE=
RUN CGO_ENABLED=0 go build -trimpath -buildvcs=false \
	-ldflags "-s -w -X main.release=${RELEASE}" -o /spokeword ./cmd/spokeword
RUN mkdir -m 0700 /state

FROM scratch
COPY --from=build /spokeword /spokeword
# What serve keeps; a volume that is new takes over the owner.
COPY --from=build --chown=65532:65532 /state /var/lib/spokeword
VOLUME /var/lib/spokeword
ENV STATE_DIRECTORY=/var/lib/spokeword
# Nobody in particular: no name, no home, no rights.
USER 65532:65532
ENTRYPOINT ["/spokeword"]
