/** The words about what is withheld from a device. */

export const withheldWords = {
  shut: (numbers: string) => `Withheld here: ${numbers}.`,
  shutHelp:
    'Possible human remains are logged with it, so its sheet is shut on every device of the crew, this one too. Nothing that was written is lost. Whoever may know of the burial goes on with it on a device that joins the site opened with “baulk open SITE --restricted”.',
  before:
    'Once this is sent, the sheets of the contexts named are shut on the devices of the crew, this one too. Nothing written is lost: whoever may know of the burial goes on with them where the site is opened with “baulk open SITE --restricted”.',
} as const;
