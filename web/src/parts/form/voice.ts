/** Speaking into a text box, where the device offers it; elsewhere there is no button. */

interface Heard {
  readonly results: ArrayLike<ArrayLike<{ readonly transcript: string }> & { readonly isFinal: boolean }>;
  readonly resultIndex: number;
}

interface Listener {
  lang: string;
  continuous: boolean;
  interimResults: boolean;
  onresult: ((event: Heard) => void) | null;
  onend: (() => void) | null;
  onerror: (() => void) | null;
  start(): void;
  stop(): void;
}

type Listens = new () => Listener;

const found = globalThis as unknown as { SpeechRecognition?: Listens; webkitSpeechRecognition?: Listens };

export const canListen = (): boolean => found.SpeechRecognition !== undefined || found.webkitSpeechRecognition !== undefined;

/** Listen until stopped; `hear` is called with each sentence, `ended` when listening stops. The returned function stops it. */
export function listen(hear: (sentence: string) => void, ended: () => void): () => void {
  const Listens = found.SpeechRecognition ?? found.webkitSpeechRecognition;
  if (!Listens) return () => undefined;
  const listener = new Listens();
  listener.lang = document.documentElement.lang || navigator.language;
  listener.continuous = true;
  listener.interimResults = false;
  listener.onresult = (event) => {
    for (let at = event.resultIndex; at < event.results.length; at += 1) {
      const said = event.results[at]?.[0]?.transcript.trim();
      if (said) hear(said);
    }
  };
  listener.onend = listener.onerror = ended;
  listener.start();
  return () => listener.stop();
}
