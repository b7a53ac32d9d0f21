/**
 * The page that a phone opens once, over plain http, to trust this machine: the authority's
 * certificate, steps with pictures for both kinds of phone, its fingerprint, how to remove it again.
 */
import { createHash, X509Certificate } from "node:crypto";
import type { RequestListener } from "node:http";

export const authorityPath = "/plumbshot-authority.crt";

interface Step {
  readonly words: string;
  /** Rows of the phone's screen in the picture; the one to touch has a star before it. */
  readonly rows: readonly string[];
}
interface Guide {
  readonly title: string;
  readonly steps: readonly Step[];
}
interface Language {
  readonly intro: string;
  readonly load: string;
  readonly guides: readonly Guide[];
  readonly print: string;
  readonly after: string;
  readonly remove: string;
  readonly scope: string;
}

const english: Language = {
  intro:
    "This phone does not know this machine yet. Trust it once, then camera, watch and use without a network work.",
  load: "Load the certificate",
  guides: [
    {
      title: "iPhone (open this page in Safari)",
      steps: [
        {
          words: "Load the certificate and allow the profile.",
          rows: ["This website is trying to", "download a profile", "*Allow"],
        },
        {
          words: "Settings, Profile Downloaded, Install.",
          rows: ["Settings", "*Profile Downloaded", "General"],
        },
        {
          words: "Settings, General, About, Certificate Trust Settings: switch it on.",
          rows: ["About", "Certificate Trust", "*Plumbshot  (o )"],
        },
      ],
    },
    {
      title: "Android",
      steps: [
        {
          words: "Load the certificate: it lies in Downloads.",
          rows: ["Downloads", "*plumbshot-authority.crt"],
        },
        {
          words: "Settings: search for 'CA certificate', install anyway.",
          rows: ["Install a certificate", "*CA certificate", "Wi-Fi certificate"],
        },
        {
          words:
            "Choose the file. The phone says from then on that the network may be watched: by this certificate, for this network only.",
          rows: ["Downloads", "*plumbshot-authority.crt", "CA certificate installed"],
        },
      ],
    },
  ],
  print: "Compare with what the computer shows (SHA-256):",
  after: "Then open:",
  remove:
    "To remove it again: iPhone: Settings, General, VPN & Device Management, Plumbshot, Remove Profile. Android: Settings, search for 'User credentials' or 'Trusted credentials', User, Plumbshot, Remove. On the computer delete the folder named when it starts.",
  scope:
    "It is good for private network addresses and names ending in .local only, never for a site on the internet.",
};

const spanish: Language = {
  intro:
    "Este teléfono aún no conoce este ordenador. Confíe en él una vez; luego funcionan la cámara, la vigilancia y el uso sin red.",
  load: "Cargar el certificado",
  guides: [
    {
      title: "iPhone (abra esta página en Safari)",
      steps: [
        {
          words: "Cargue el certificado y permita el perfil.",
          rows: ["Este sitio intenta", "descargar un perfil", "*Permitir"],
        },
        {
          words: "Ajustes, Perfil descargado, Instalar.",
          rows: ["Ajustes", "*Perfil descargado", "General"],
        },
        {
          words:
            "Ajustes, General, Información, Ajustes de confianza de los certificados: actívelo.",
          rows: ["Información", "Confianza", "*Plumbshot  (o )"],
        },
      ],
    },
    {
      title: "Android",
      steps: [
        {
          words: "Cargue el certificado: queda en Descargas.",
          rows: ["Descargas", "*plumbshot-authority.crt"],
        },
        {
          words: "Ajustes: busque «certificado de CA», instale de todos modos.",
          rows: ["Instalar un certificado", "*Certificado de CA", "Certificado de Wi-Fi"],
        },
        {
          words:
            "Elija el archivo. El teléfono dirá desde entonces que la red puede estar supervisada: por este certificado, solo en esta red.",
          rows: ["Descargas", "*plumbshot-authority.crt", "Certificado instalado"],
        },
      ],
    },
  ],
  print: "Compare con lo que muestra el ordenador (SHA-256):",
  after: "Después abra:",
  remove:
    "Para quitarlo: iPhone: Ajustes, General, VPN y gestión de dispositivos, Plumbshot, Eliminar perfil. Android: Ajustes, busque «Credenciales de usuario» o «Credenciales de confianza», Usuario, Plumbshot, Quitar. En el ordenador borre la carpeta que se nombra al arrancar.",
  scope:
    "Vale solo para direcciones de redes privadas y nombres que acaban en .local, nunca para un sitio de internet.",
};

/** SHA-256 of the certificate, in pairs of digits. */
export const fingerprintOf = (cert: string): string =>
  createHash("sha256")
    .update(new X509Certificate(cert).raw)
    .digest("hex")
    .toUpperCase()
    .match(/../g)!
    .join(" ");

/** Serves the guide and the certificate, and nothing else. `appUrls`: where the app is. */
export function trustGuide(cert: string, appUrls: readonly string[]): RequestListener {
  const der = new X509Certificate(cert).raw;
  return (request, response) => {
    const { pathname } = new URL(request.url ?? "/", "http://localhost");
    response.setHeader("X-Content-Type-Options", "nosniff");
    response.setHeader("Cache-Control", "no-store");
    if (request.method !== "GET" && request.method !== "HEAD") {
      response.writeHead(405, { Allow: "GET, HEAD" });
      return response.end();
    }
    if (pathname === authorityPath) {
      response.writeHead(200, { "Content-Type": "application/x-x509-ca-cert" });
      return response.end(der);
    }
    response.writeHead(pathname === "/" ? 200 : 404, {
      "Content-Type": "text/html; charset=utf-8",
      "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'",
    });
    const wantsSpanish = /^es\b/.test(request.headers["accept-language"] ?? "");
    response.end(
      pageOf(wantsSpanish ? spanish : english, wantsSpanish ? "es" : "en", cert, appUrls),
    );
  };
}

function pageOf(
  words: Language,
  language: string,
  cert: string,
  appUrls: readonly string[],
): string {
  const guides = words.guides.map(
    ({ title, steps }) =>
      `<section><h2>${title}</h2><ol>${steps
        .map((step) => `<li><p>${step.words}</p>${pictureOf(step.rows)}</li>`)
        .join("")}</ol></section>`,
  );
  return `<!doctype html><html lang="${language}"><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>Plumbshot</title>
<style>
body{margin:0 auto;padding:1rem;max-width:40rem;font:1.0625rem/1.45 system-ui,sans-serif;background:#f4f2ea;color:#14253a}
h1{font-size:1.5rem}h2{font-size:1.1875rem;border-bottom:1.5px solid #14253a}
a.now{display:inline-block;padding:.9rem 1.2rem;background:#ad3c08;color:#fff;font-weight:700;text-decoration:none}
code{overflow-wrap:anywhere}svg{width:11rem;max-width:100%;display:block}li{margin-bottom:1rem}
</style>
<h1>Plumbshot</h1><p>${words.intro}</p>
<p><a class="now" href="${authorityPath}" download="plumbshot-authority.crt">${words.load}</a></p>
<p>${words.print}<br><code>${fingerprintOf(cert)}</code></p>
${guides.join("\n")}
<p>${words.after} ${appUrls.map((url) => `<a href="${url}">${url}</a>`).join(", ")}</p>
<p>${words.scope}</p><p>${words.remove}</p></html>`;
}

/** A phone's screen with a few rows; the row to touch is framed. */
function pictureOf(rows: readonly string[]): string {
  const lines = rows.map((row, i) => {
    const touched = row.startsWith("*");
    const y = 26 + 34 * i;
    const frame = touched
      ? `<rect x="12" y="${y}" width="196" height="28" fill="#f7e6da" stroke="#ad3c08" stroke-width="3"/>`
      : `<rect x="12" y="${y}" width="196" height="28" fill="#fcfbf7" stroke="#8793a1"/>`;
    return `${frame}<text x="20" y="${y + 19}" font-size="13" fill="#14253a">${row.replace("*", "")}</text>`;
  });
  const high = 46 + 34 * rows.length;
  return (
    `<svg viewBox="0 0 220 ${high}" role="img" aria-label="${rows.join(", ").replace("*", "")}">` +
    `<rect x="2" y="2" width="216" height="${high - 4}" rx="16" fill="#e9e8e0" stroke="#14253a" stroke-width="3"/>` +
    `<path d="M90 14h40" stroke="#14253a" stroke-width="4"/>${lines.join("")}</svg>`
  );
}
