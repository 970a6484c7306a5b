// Sending the photographs of a queue: each by itself, as a file. One that was set aside goes where such
// photographs are kept, with what it was sent for and the reason.

const ASIDE = "/api/v1/set-aside/photos/";
// What the form of a set-aside photograph has room for.
const SAID = ["id", "made_at", "caption", "installation", "step", "defect", "survey"];
const SUBJECT = /^\/api\/v1\/(installation|survey)s\/([0-9a-f-]+)\/photos\/$/;

export const addressOf = (photo) => (photo.set_aside_because ? ASIDE : photo.address);

/** The form to send, at `sentAt` by the clock of this phone, which is `offsetS` seconds behind. */
export function formOf(photo, sentAt, offsetS) {
  const form = new FormData();
  for (const [name, value] of Object.entries(fieldsOf(photo))) form.append(name, value);
  form.append("sent_at", sentAt);
  if (offsetS) form.append("clock_offset_s", offsetS);
  form.append("image", photo.image, photo.file_name);
  return form;
}

function fieldsOf(photo) {
  const because = photo.set_aside_because;
  if (!because) return photo.fields;
  const [, subject, identifier] = SUBJECT.exec(photo.address) || [];
  const whole = { [subject]: identifier, ...photo.fields };
  const said = SAID.filter((name) => whole[name]).map((name) => [name, whole[name]]);
  return { ...Object.fromEntries(said), set_aside_because: because };
}

const TOO_LARGE = 413;

/** Whether the server cannot even keep it set aside, for what the file itself is. */
export const isUnusable = ({ set_aside_because, answer }) =>
  Boolean(set_aside_because && answer) && (answer.status === TOO_LARGE ||
    Boolean(answer.problem.errors?.some(({ pointer }) => pointer === "/image")));
