-- +goose Up

-- The units that a talk's answers are wanted in, by their symbols, as JSON.
alter table talk add column shown text;

-- +goose Down
alter table talk drop column shown;
