using XoverOpt.Acoustics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

/// <summary>Random builds that a search of a job could end with: any layout, every value one that can be bought or cut.</summary>
internal sealed class LegalBuilds(Problem problem, ulong seed)
{
    private readonly LayoutSpace _space = new(problem);
    private readonly Random64 _random = new(seed);

    /// <summary>The demo jobs.</summary>
    public static IEnumerable<JobDocument> DemoJobs() => new[] { "quick", "stage", "budget", "single", "full" }
        .Select(name => JobFile.Read(Path.Combine(AppContext.BaseDirectory, "demo/jobs", name + ".json")))
        .Select(reading => reading.IsGood ? reading.Value : throw new InvalidDataException(reading.Faults[0].Message));

    public IEnumerable<Earpiece> Take(int count) => Enumerable.Range(0, count).Select(_ => Next());

    private Earpiece Next()
    {
        Layout layout = _space.Draw(_random) ?? throw new InvalidOperationException("no layout is allowed");
        return new([.. problem.Ways.Select((choice, at) => Way(choice, _space.Option(layout, at)))]);
    }

    private Way Way(WayChoice choice, WayOption option) => new(
        choice.Name,
        choice.Receivers[option.Receiver].Receiver,
        option.Count,
        option.Wiring,
        option.Polarity,
        [.. choice.Networks[option.Network].Sections.Select(Section)],
        Pick(choice.Dampers).Value,
        [new(Problem.CutLength(Math.Round(choice.TubeMin / problem.TubeStep) + _random.Below((int)Math.Round((choice.TubeMax - choice.TubeMin) / problem.TubeStep) + 1), problem.TubeStep), choice.Bores[option.Bore].Value)]);

    private NetworkSection Section(SectionShape shape)
    {
        StockValue? resistor = shape.Resistor ? Pick(problem.Passives.Resistors) : null;
        StockValue? capacitor = shape.Capacitor ? Pick(problem.Passives.Capacitors) : null, coil = shape.Coil ? Pick(problem.Passives.Coils) : null;
        return new(shape.Place, resistor?.Value, capacitor?.Value, coil?.Value, capacitor?.LossResistance ?? 0, coil?.LossResistance ?? 0);
    }

    private StockValue Pick(IReadOnlyList<StockValue> list) => list[_random.Below(list.Count)];
}
