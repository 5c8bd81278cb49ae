using System.Globalization;
using System.Text;
using System.Text.Json;

namespace XoverOpt.Worker.Pages;

/// <summary>On which line of a JSON text each place stands, so that a fault can be found by eye.</summary>
internal static class JsonLines
{
    /// <summary>Lines by pointer (RFC 6901), 1 is the first; as far as the text can be read.</summary>
    public static IReadOnlyDictionary<string, int> Of(string text)
    {
        Dictionary<string, int> lines = new(StringComparer.Ordinal) { [""] = 1 };
        byte[] bytes = Encoding.UTF8.GetBytes(text);
        Utf8JsonReader reader = new(bytes, new JsonReaderOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true });
        Stack<(string Pointer, int Index)> open = [];
        string? key = null;
        int line = 1, counted = 0;
        try
        {
            while (reader.Read())
            {
                for (; counted < reader.TokenStartIndex; counted++)
                {
                    line += bytes[counted] == '\n' ? 1 : 0;
                }

                switch (reader.TokenType)
                {
                    case JsonTokenType.PropertyName:
                        key = reader.GetString();
                        break;
                    case JsonTokenType.EndObject or JsonTokenType.EndArray:
                        open.Pop();
                        break;
                    default:
                        string at = Place(open, ref key);
                        lines[at] = line;
                        if (reader.TokenType is JsonTokenType.StartObject or JsonTokenType.StartArray)
                        {
                            open.Push((at, reader.TokenType == JsonTokenType.StartArray ? 0 : -1));
                        }

                        break;
                }
            }
        }
        catch (JsonException)
        {
            // The reader of jobs says what is wrong with it.
        }

        return lines;
    }

    /// <summary>The line of a place, or of the nearest one that holds it; null where the text has none such.</summary>
    public static int? Find(IReadOnlyDictionary<string, int> lines, string pointer)
    {
        for (string at = pointer; ; at = at[..at.LastIndexOf('/')])
        {
            if (at.Length == 0)
            {
                return null;
            }

            if (lines.TryGetValue(at, out int line))
            {
                return line;
            }
        }
    }

    private static string Place(Stack<(string Pointer, int Index)> open, ref string? key)
    {
        if (open.Count == 0)
        {
            return "";
        }

        (string pointer, int index) = open.Pop();
        open.Push((pointer, index < 0 ? index : index + 1));
        string token = index < 0 ? key!.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal) : index.ToString(CultureInfo.InvariantCulture);
        key = null;
        return $"{pointer}/{token}";
    }
}
