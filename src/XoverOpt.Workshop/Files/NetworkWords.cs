using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>The words for network sections, such as "series-resistor" or "shunt-resistor-capacitor".</summary>
public static class NetworkWords
{
    private static readonly string[] Parts = ["resistor", "capacitor", "coil"];

    /// <summary>Every section, in the order words list them: place, then parts.</summary>
    public static IReadOnlyList<string> All { get; } =
    [
        .. from place in new[] { "series", "shunt" }
           from parts in new[] { "resistor", "capacitor", "coil", "resistor-capacitor", "resistor-coil", "capacitor-coil", "resistor-capacitor-coil" }
           select $"{place}-{parts}",
    ];

    /// <summary>The section a word stands for; null for a word that is none. Parts may come in any order, each once.</summary>
    public static SectionShape? Section(string word)
    {
        string[] tokens = word.Split('-');
        string[] parts = tokens[1..];
        bool good = tokens[0] is "series" or "shunt" && parts.Length > 0 && parts.All(Parts.Contains) && parts.Distinct().Count() == parts.Length;
        return good
            ? new SectionShape(
                tokens[0] == "series" ? SectionPlace.Series : SectionPlace.Shunt,
                parts.Contains("resistor"),
                parts.Contains("capacitor"),
                parts.Contains("coil"))
            : null;
    }

    /// <summary>The shape of a list of words.</summary>
    /// <exception cref="ArgumentException">A word that stands for no section.</exception>
    public static NetworkShape Shape(IEnumerable<string> words) =>
        new([.. words.Select(word => Section(word) ?? throw new ArgumentException($"No section: {word}.", nameof(words)))]);

    /// <summary>The kinds of part a shape needs that the stock has none of.</summary>
    public static IReadOnlyList<PassiveKind> Missing(NetworkShape shape, PassiveStock stock) =>
    [
        .. PassiveKind.All.Where(kind => kind.In(stock).Count == 0 && shape.Sections.Any(section =>
            kind == PassiveKind.Resistor ? section.Resistor : kind == PassiveKind.Capacitor ? section.Capacitor : section.Coil)),
    ];
}
