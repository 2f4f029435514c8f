package commands

import (
	"context"

	"spokeword/commands/reply"
	"spokeword/commands/spec"
)

func init() { add(forget) }

// forget tells a person what is kept of them, and ends what is: the talk.
func forget(Deps) *spec.Command {
	return &spec.Command{
		Name:    "forget",
		Summary: "Forget our talk here, and tell what is kept about you",
		Words: w("forget me", "forget it all", "delete my data", "delete me", "erase my data", "my data", "what do you know about me", "what do you keep", "what is kept", "wipe my data", "gdpr",
			de("vergiss mich", "lösche meine daten", "meine daten"), fr("oublie moi", "oublie-moi", "mes données"), es("olvídame", "mis datos"), it("dimenticami", "i miei dati")),
		Keys: []string{
			"delete|erase|wipe|remove|clear|purge|forget everything|data|all|anything|weight|what|numbers|info|history|stuff know|keep|kept|have|saved|stored|hold|got|about",
			"delete|erase|wipe|remove|clear|purge my|me|us|our|his|her|him personal|data|numbers|info|history",
			"lösch~|vergiss|vergesst|entfern~ alles|daten|was wisst|weißt|weisst|gespeichert|gspeichert|über|ueber|habt|hast",
			"efface~|supprim~|oublie~ tout|données|donnees|infos sur|moi|mes|sais|gardé|garde|enregistré",
			"borra|borrad|borrar|elimina|eliminar|olvida todo|datos|info mí|mi|mis|sabes|sabéis|guardado|guardáis|tienes",
			"cancella|cancellate|elimina|dimentica|rimuovi tutto|dati|info me|miei|sai|sapete|salvato|avete",
		},
		Weight:   1.0,
		Forgets:  true,
		Examples: []string{"forget me"},
		Run: func(context.Context, spec.Request) (reply.Reply, error) {
			return reply.Reply{
				Title: "Forgotten",
				Lead: []string{
					"Our talk in this channel is forgotten: your last question, its answer and what it offered.",
					"Nothing else is kept about you but the numbers of messages, so that none is answered twice. What was written in the chat stays with the chat's own service.",
				},
				Private: true,
			}, nil
		},
	}
}
