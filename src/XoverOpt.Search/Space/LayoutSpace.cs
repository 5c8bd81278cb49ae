using System.Globalization;
using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// Every layout a problem allows, as a product of options per way, less those that break a limit whatever the values: too many
/// receivers, too large, too dear, not in stock. Counts are exact up to two million combinations of receivers and estimated beyond, and each exclusion says which limit did it.
/// </summary>
public sealed class LayoutSpace
{
    private const double CountedFamilies = 2e6;
    private const int Sample = 20_000;
    private readonly Problem _problem;
    private readonly WayOption[][] _options;
    private readonly List<(int Receiver, int Count)[]> _fewAllowed = [];

    /// <summary>Lists the options and counts what the limits leave.</summary>
    public LayoutSpace(Problem problem)
    {
        _problem = problem;
        bool turnable = problem.Ways.All(way => way.Polarities.Contains(Polarity.Normal) && way.Polarities.Contains(Polarity.Inverted));
        _options = [.. problem.Ways.Select((way, index) => OptionsOf(way, turnable && index == 0))];
        Total = _options.Aggregate(1.0, (product, options) => product * options.Length);
        Count();
    }

    /// <summary>Options of each way.</summary>
    public IReadOnlyList<IReadOnlyList<WayOption>> Options => _options;

    /// <summary>Layouts before exclusions.</summary>
    public double Total { get; }

    /// <summary>Layouts that no limit excludes.</summary>
    public double Allowed { get; private set; }

    /// <summary>What was excluded and why.</summary>
    public IReadOnlyList<Exclusion> Exclusions { get; private set; } = [];

    /// <summary>The option a layout holds for a way.</summary>
    public WayOption Option(Layout layout, int way) => _options[way][layout.Options[way]];

    /// <summary>The layout at a place in the complete list, 0 to <see cref="Total"/> − 1.</summary>
    public Layout At(long place)
    {
        var options = new int[_options.Length];
        for (int way = 0; way < options.Length; way++)
        {
            (place, long option) = Math.DivRem(place, _options[way].Length);
            options[way] = (int)option;
        }

        return new(options);
    }

    /// <summary>How many layouts differ from one only in bores, itself among them.</summary>
    public double BoreShades => _problem.Ways.Aggregate(1.0, (product, way) => product * way.Bores.Count);

    /// <summary>The layout with the first bore of each way: the same for all that differ in bores only.</summary>
    public Layout FirstBores(Layout layout) => new([.. layout.Options.Select((option, way) => option - _options[way][option].Bore)]);

    /// <summary>The layout with other bores.</summary>
    /// <param name="layout">The layout.</param>
    /// <param name="bores">For some ways, the place of the bore among the way's bores in rising order.</param>
    public Layout WithBores(Layout layout, IReadOnlyDictionary<int, int> bores) => new([.. layout.Options.Select((option, way) =>
    {
        if (!bores.TryGetValue(way, out int place))
        {
            return option;
        }

        // Bores vary fastest in the list of options.
        int bore = Enumerable.Range(0, _problem.Ways[way].Bores.Count).OrderBy(i => _problem.Ways[way].Bores[i].Value).ElementAt(place);
        return option - _options[way][option].Bore + bore;
    })]);

    /// <summary>Whether no limit excludes the layout.</summary>
    public bool Allows(Layout layout) => Broken([.. layout.Options.Select((option, way) => (_options[way][option].Receiver, _options[way][option].Count))]) is null;

    /// <summary>Receivers and counts only: layouts that share it are shades of one another.</summary>
    public string Family(Layout layout) => string.Join('+', layout.Options
        .Select((option, way) => (Option: _options[way][option], Way: _problem.Ways[way]))
        .Select(pair => $"{pair.Option.Count}x{pair.Way.Receivers[pair.Option.Receiver].Receiver.PartNumber}")
        .Order(StringComparer.Ordinal));

    /// <summary>A random layout that no limit excludes, or null if none turned up in many draws.</summary>
    public Layout? Draw(Random64 random)
    {
        if (_fewAllowed.Count > 0)
        {
            (int Receiver, int Count)[] family = _fewAllowed[random.Below(_fewAllowed.Count)];
            return new Layout([.. family.Select((choice, way) =>
            {
                int[] shades = [.. Enumerable.Range(0, _options[way].Length).Where(i => (_options[way][i].Receiver, _options[way][i].Count) == choice)];
                return shades[random.Below(shades.Length)];
            })]);
        }

        for (int attempt = 0; attempt < 10_000; attempt++)
        {
            var layout = new Layout([.. _options.Select(options => random.Below(options.Length))]);
            if (Allows(layout))
            {
                return layout;
            }
        }

        return null;
    }

    private static WayOption[] OptionsOf(WayChoice way, bool normalOnly)
    {
        // Turning every way over changes nothing that is heard, so where all may be turned, the first stays as it is.
        IReadOnlyList<Polarity> polarities = normalOnly ? [Polarity.Normal] : way.Polarities;
        return [..
            from receiver in Enumerable.Range(0, way.Receivers.Count)
            from count in way.Counts
            from wiring in count == 1 ? way.Wirings.Take(1) : way.Wirings
            from polarity in polarities
            from network in Enumerable.Range(0, way.Networks.Count)
            from bore in Enumerable.Range(0, way.Bores.Count)
            select new WayOption(receiver, count, wiring, polarity, network, bore)];
    }

    private void Count()
    {
        (int Receiver, int Count, double Layouts)[][] families = [.. _options.Select(options => options
            .GroupBy(option => (option.Receiver, option.Count))
            .Select(group => (group.Key.Receiver, group.Key.Count, (double)group.Count()))
            .ToArray())];
        if (families.Aggregate(1.0, (product, choices) => product * choices.Length) > CountedFamilies)
        {
            Estimate();
            return;
        }

        var excluded = new SortedDictionary<string, double>(StringComparer.Ordinal);
        var chosen = new (int Receiver, int Count)[families.Length];

        void Walk(int way, double layouts)
        {
            if (way == families.Length)
            {
                string? broken = Broken(chosen);
                if (broken is null)
                {
                    Allowed += layouts;
                    _fewAllowed.Add([.. chosen]);
                }
                else
                {
                    excluded[broken] = excluded.GetValueOrDefault(broken) + layouts;
                }

                return;
            }

            foreach ((int receiver, int count, double shades) in families[way])
            {
                chosen[way] = (receiver, count);
                Walk(way + 1, layouts * shades);
            }
        }

        Walk(0, 1);
        if (Allowed > Total / 100)
        {
            // Blind draws hit soon enough; no need for the list.
            _fewAllowed.Clear();
            _fewAllowed.TrimExcess();
        }

        Exclusions = [.. excluded.Select(pair => new Exclusion(pair.Key, pair.Value))];
    }

    /// <summary>Too many to walk through: shares of a fixed seeded sample stand for the counts.</summary>
    private void Estimate()
    {
        var random = new Random64(1);
        var excluded = new SortedDictionary<string, double>(StringComparer.Ordinal);
        for (int draw = 0; draw < Sample; draw++)
        {
            string? broken = Broken([.. _options.Select(options => options[random.Below(options.Length)]).Select(option => (option.Receiver, option.Count))]);
            excluded[broken ?? ""] = excluded.GetValueOrDefault(broken ?? "") + (Total / Sample);
        }

        // Rare but possible layouts must not read as none: one draw's worth at least.
        Allowed = Math.Max(excluded.GetValueOrDefault(""), Total / Sample);
        Exclusions = [.. excluded.Where(pair => pair.Key.Length > 0).Select(pair => new Exclusion(pair.Key + " (estimated from a sample)", pair.Value))];
    }

    /// <summary>The first limit that these receivers break whatever else is chosen, in words; null if none.</summary>
    private string? Broken(ReadOnlySpan<(int Receiver, int Count)> chosen)
    {
        Limits limits = _problem.Limits;
        int receivers = 0;
        double volume = 0;
        decimal price = 0;
        for (int way = 0; way < chosen.Length; way++)
        {
            StockReceiver receiver = _problem.Ways[way].Receivers[chosen[way].Receiver];
            receivers += chosen[way].Count;
            volume += chosen[way].Count * (receiver.Body?.Volume ?? 0);
            price += chosen[way].Count * (receiver.Supply?.UnitPrice ?? 0);
        }

        if (receivers > limits.MaxReceivers)
        {
            return string.Create(CultureInfo.InvariantCulture, $"limits.maxReceivers: more than {limits.MaxReceivers} receivers");
        }

        if (volume > limits.ShellVolume)
        {
            return string.Create(CultureInfo.InvariantCulture, $"limits.shellVolumeMm3: the bodies need more than {limits.ShellVolume * 1e9:0} mm³");
        }

        if (price > limits.MaxPartsCost)
        {
            return string.Create(CultureInfo.InvariantCulture, $"limits.maxPartsCost: the receivers alone cost more than {limits.MaxPartsCost}");
        }

        return limits.StockOnly ? OutOfStock(chosen) : null;
    }

    private string? OutOfStock(ReadOnlySpan<(int Receiver, int Count)> chosen)
    {
        var need = new Dictionary<string, (int Count, Supply? Supply)>();
        for (int way = 0; way < chosen.Length; way++)
        {
            StockReceiver receiver = _problem.Ways[way].Receivers[chosen[way].Receiver];
            string part = receiver.Receiver.PartNumber;
            need[part] = (need.GetValueOrDefault(part).Count + (chosen[way].Count * _problem.Limits.Earpieces), receiver.Supply);
        }

        return need.Values.Any(part => part.Count > (part.Supply?.Stock ?? 0))
            ? string.Create(CultureInfo.InvariantCulture, $"limits.stockOnly: a receiver is short for {_problem.Limits.Sets} sets ({(_problem.Limits.EarpiecesPerSet == 2 ? "left and right" : $"{_problem.Limits.EarpiecesPerSet} to a set")})")
            : null;
    }
}
