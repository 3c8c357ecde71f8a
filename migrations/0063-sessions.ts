import { type Kysely, sql } from 'kysely'

/**
 * Beside the chain: from where somebody is signed in and whether a password of one's own is still to be chosen; what was typed when a
 * sign-in ran out; and tries at the door, without a word of what was typed.
 */
export async function up(db: Kysely<any>): Promise<void> {
  const steps = [
    'alter table session add column address text',
    'alter table session add column must_choose integer not null default 0',
    `create table kept_aside (id text primary key, person_id text not null references person (entry_id), path text not null,
      fields text not null, at text not null) strict`,
    'create index kept_aside_by_person on kept_aside (person_id)',
    `create table door_try (number integer primary key, at text not null, kind text not null,
      person_id text references person (entry_id), address text not null) strict`,
  ]
  for (const step of steps) await sql.raw(step).execute(db)
}
