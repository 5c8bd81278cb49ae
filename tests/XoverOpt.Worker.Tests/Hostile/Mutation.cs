using System.Text;
using System.Text.Json.Nodes;
using XoverOpt.Search;

namespace XoverOpt.Worker.Tests.Hostile;

/// <summary>
/// Makes wrong inputs of right ones. Structure-aware: values replaced, keys misspelt, doubled, dropped, swapped and nested. Byte-level:
/// bytes flipped, cut, doubled, put in. Everything comes from one seed, so that an input is made again by its number alone.
/// </summary>
internal sealed class Mutation(ulong seed)
{
    private static readonly string[] OddValues =
    [
        "null", "true", "false", "0", "-0", "-1", "1e308", "1e-308", "1e999", "-1e999", "9007199254740993", "18446744073709551616", "0.1e1", "00", "+1", ".5", "NaN", "Infinity",
        "\"\"", "\" \"", "\"x\"", "\"\\u0000\"", "\"\\ud800\"", "\"\u202e\u2066\"", "\"../../etc/passwd\"", "\"/dev/zero\"", "\"..\\\\x\"", "\"CON\"", "\"file:///etc/passwd\"",
        "\"%2e%2e%2f\"", "\"' or 1=1 --\"", "\"{{7*7}}\"", "\"<script>\"", "[]", "[[]]", "[null]", "[1,1]", "{}", "{\"a\":1,\"a\":2}", "{\"\":{}}", "\"job/1\"", "\"2026-02-30T25:61:00Z\"",
    ];

    private static readonly byte[] OddBytes = [0, 1, 9, 10, 13, 34, 44, 58, 91, 92, 93, 123, 125, 0x7f, 0x80, 0xbf, 0xc0, 0xed, 0xf4, 0xff];

    private readonly Random64 _random = new(seed);

    /// <summary>A whole number from 0 up to, not including, <paramref name="below"/>.</summary>
    public int Below(int below) => (int)(_random.NextDouble() * below);

    /// <summary>One of several.</summary>
    public T OneOf<T>(IReadOnlyList<T> items) => items[Below(items.Count)];

    /// <summary>A wrong form of a JSON text: one to four changes.</summary>
    public byte[] Json(string good)
    {
        if (Below(3) == 0)
        {
            return Bytes(Encoding.UTF8.GetBytes(good));
        }

        JsonNode root = JsonNode.Parse(good)!;
        List<string> literals = [];
        for (int changes = 1 + Below(4); changes > 0; changes--)
        {
            Change(root, literals);
        }

        string text = root.ToJsonString();
        for (int i = 0; i < literals.Count; i++)
        {
            text = text.Replace($"\"@{i}@\"", literals[i], StringComparison.Ordinal);
        }

        byte[] bytes = Encoding.UTF8.GetBytes(text);
        return Below(8) == 0 ? Bytes(bytes) : bytes;
    }

    /// <summary>A wrong form of lines of comma-separated numbers.</summary>
    public byte[] Lines(string good)
    {
        if (Below(3) == 0)
        {
            return Bytes(Encoding.UTF8.GetBytes(good));
        }

        List<string> lines = [.. good.Split('\n')];
        for (int changes = 1 + Below(4); changes > 0; changes--)
        {
            int at = Below(lines.Count);
            string[] cells = lines[at].Split(',');
            switch (Below(7))
            {
                case 0:
                    lines.Insert(at, OneOf(lines));
                    break;
                case 1 when lines.Count > 1:
                    lines.RemoveAt(at);
                    break;
                case 2:
                    cells[Below(cells.Length)] = OneOf(OddValues);
                    lines[at] = string.Join(',', cells);
                    break;
                case 3:
                    lines[at] = string.Join(OneOf<string>([";", "\t", ",,", " ", "|"]), cells);
                    break;
                case 4:
                    lines[at] += new string(OneOf<char>([',', '9', ' ', '#', '"', '\0']), 1 + Below(2000));
                    break;
                case 5:
                    lines[at] = cells[0].Replace('.', ',');
                    break;
                default:
                    (lines[at], lines[0]) = (lines[0], lines[at]);
                    break;
            }
        }

        return Encoding.UTF8.GetBytes(string.Join(OneOf<string>(["\n", "\r\n", "\r"]), lines));
    }

    /// <summary>Bytes with one to eight changes.</summary>
    public byte[] Bytes(byte[] good)
    {
        List<byte> bytes = [.. good];
        for (int changes = 1 + Below(8); changes > 0; changes--)
        {
            int at = Below(bytes.Count + 1);
            int count = Math.Min(1 + Below(40), bytes.Count - at);
            switch (Below(6))
            {
                case 0 when at < bytes.Count:
                    bytes[at] ^= (byte)(1 << Below(8));
                    break;
                case 1:
                    bytes.RemoveRange(at, count);
                    break;
                case 2:
                    bytes.InsertRange(at, bytes.GetRange(at, count));
                    break;
                case 3:
                    bytes.InsertRange(at, Enumerable.Repeat(OneOf(OddBytes), 1 + Below(300)));
                    break;
                case 4 when Below(4) == 0:
                    bytes.RemoveRange(at, bytes.Count - at);
                    break;
                default:
                    bytes.Insert(at, OneOf(OddBytes));
                    break;
            }
        }

        return [.. bytes];
    }

    private void Change(JsonNode root, List<string> literals)
    {
        List<JsonNode> places = [];
        Collect(root, places);
        if (places.Count == 0)
        {
            return;
        }

        JsonNode place = OneOf(places);
        switch (Below(9))
        {
            case 0 when place.Parent is JsonObject parent:
                parent.Remove(place.GetPropertyName());
                break;
            case 1 when place.Parent is JsonObject parent:
                string name = place.GetPropertyName();
                parent[name[..^1] + OneOf<string>(["", "x", "\u0000", "é", name])] = place.DeepClone();
                break;
            case 2 when place.Parent is JsonArray list:
                for (int copies = 1 + Below(300); copies > 0; copies--)
                {
                    list.Add(place.DeepClone());
                }

                break;
            case 3:
                place.ReplaceWith(OneOf(places).DeepClone());
                break;
            case 4:
                JsonNode deep = place.DeepClone();
                for (int levels = 1 + Below(80); levels > 0; levels--)
                {
                    deep = Below(2) == 0 ? new JsonArray(deep) : new JsonObject { ["x"] = deep };
                }

                place.ReplaceWith(deep);
                break;
            case 5 when place is JsonValue value && value.TryGetValue(out double number):
                place.ReplaceWith(JsonValue.Create(OneOf<double>([-number, number * 1e3, number / 1e3, number + 1, number * 1e9, Math.Floor(number) + 0.5])));
                break;
            case 6 when place is JsonValue value && value.TryGetValue(out string? text):
                place.ReplaceWith(JsonValue.Create(OneOf<string>([text + text, text.ToUpperInvariant(), new string('a', Below(20_000)), text + "\u0000", text.Trim('s')])));
                break;
            default:
                place.ReplaceWith(JsonValue.Create($"@{literals.Count}@"));
                literals.Add(OneOf(OddValues));
                break;
        }
    }

    private static void Collect(JsonNode node, List<JsonNode> places)
    {
        IEnumerable<JsonNode?> below = node switch { JsonObject members => members.Select(member => member.Value), JsonArray items => items, _ => [] };
        foreach (JsonNode child in below.OfType<JsonNode>())
        {
            places.Add(child);
            if (places.Count < 5000)
            {
                Collect(child, places);
            }
        }
    }
}
