using System.Text.Json.Serialization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One choice for a way: everything about it that is not a continuous value. Indices point into the <see cref="WayChoice"/>.</summary>
public readonly record struct WayOption(int Receiver, int Count, Wiring Wiring, Polarity Polarity, int Network, int Bore);

/// <summary>One choice for every way: <paramref name="Options"/> holds an index into <see cref="LayoutSpace.Options"/> a way.</summary>
public sealed record Layout(int[] Options)
{
    /// <summary>Equal for equal layouts.</summary>
    [JsonIgnore]
    public string Key => string.Create(2 * Options.Length, Options, (span, options) =>
    {
        for (int i = 0; i < options.Length; i++)
        {
            // Two characters an option: a way can have more options than a character has values.
            span[2 * i] = (char)(options[i] >> 16);
            span[(2 * i) + 1] = (char)options[i];
        }
    });

    /// <summary>The options a key was made from.</summary>
    public static int[] OptionsOf(string key) => [.. Enumerable.Range(0, key.Length / 2).Select(i => (key[2 * i] << 16) | key[(2 * i) + 1])];
}
