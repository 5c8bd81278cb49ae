using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>One choice for a way: everything about it that is not a continuous value. Indices point into the <see cref="WayChoice"/>.</summary>
public readonly record struct WayOption(int Receiver, int Count, Wiring Wiring, Polarity Polarity, int Network, int Bore);

/// <summary>One choice for every way: <paramref name="Options"/> holds an index into <see cref="LayoutSpace.Options"/> a way.</summary>
public sealed record Layout(int[] Options)
{
    /// <summary>Equal for equal layouts.</summary>
    public string Key => string.Create(Options.Length, Options, (span, options) =>
    {
        for (int i = 0; i < options.Length; i++)
        {
            span[i] = (char)options[i];
        }
    });
}
