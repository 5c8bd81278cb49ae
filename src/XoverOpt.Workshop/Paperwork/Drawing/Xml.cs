using System.Text;

namespace XoverOpt.Workshop.Paperwork;

/// <summary>Text made safe to stand in SVG and HTML, as content and inside double quotes.</summary>
public static class Xml
{
    /// <summary>Escapes lines of text that stay lines.</summary>
    public static string EscapeLines(string text) => string.Join('\n', text.Split('\n').Select(Escape));

    /// <summary>Escapes what has a meaning there; drops characters no XML document may hold (XML 1.0, 2.2).</summary>
    public static string Escape(string text)
    {
        StringBuilder escaped = new(text.Length);
        for (int i = 0; i < text.Length; i++)
        {
            char letter = text[i];
            if (char.IsHighSurrogate(letter) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]))
            {
                escaped.Append(letter).Append(text[++i]);
                continue;
            }

            escaped.Append(letter switch
            {
                '&' => "&amp;",
                '<' => "&lt;",
                '>' => "&gt;",
                '"' => "&quot;",
                '\'' => "&#39;",
                '\t' or '\n' or '\r' => " ",
                < ' ' or '\uFFFE' or '\uFFFF' or (>= '\uD800' and <= '\uDFFF') or (>= '\u007F' and <= '\u009F') => "",
                // Marks that turn the direction of writing would let a name rearrange what stands around it.
                (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069') => "",
                _ => letter.ToString(),
            });
        }

        return escaped.ToString();
    }
}
