using System.Text.Json;
using XoverOpt.Search;

namespace XoverOpt.Workshop;

/// <summary>What a build file says would improve the build.</summary>
internal static class BuildFileAdvice
{
    private static readonly (string Word, AdviceKind Value)[] Kinds =
    [
        ("list-end", AdviceKind.ListEnd), ("list-steps", AdviceKind.ListSteps), ("choice", AdviceKind.Choice), ("limit", AdviceKind.Limit),
        ("receivers", AdviceKind.Receivers),
    ];

    /// <summary>Writes it, a line each.</summary>
    public static void Write(Utf8JsonWriter json, IReadOnlyList<Advice> advice)
    {
        json.WriteStartArray("advice");
        foreach (Advice item in advice)
        {
            json.WriteLine(line =>
            {
                line.WriteString("what", Kinds.First(kind => kind.Value == item.What).Word);
                line.WriteFinite("gainPercent", item.GainPercent);
                line.WriteString("words", item.Words);
            });
        }

        json.WriteEndArray();
    }

    /// <summary>Reads it; none where the file says nothing.</summary>
    public static IReadOnlyList<Advice> Read(ObjectReader reader)
    {
        List<Advice> advice = [];
        foreach (JsonCursor item in reader.List("advice", max: 100) ?? [])
        {
            if (item.AsObject() is not { } line)
            {
                continue;
            }

            AdviceKind? what = line.Choice("what", Kinds);
            string? words = line.Text("words", 1000);
            double? gain = BuildFileReader.NumberOrNull(line, "gainPercent");
            line.Finish();
            if (what is { } kind && words is not null)
            {
                advice.Add(new(kind, gain, words));
            }
        }

        return advice;
    }
}
