using XoverOpt.Search;
using XoverOpt.Worker.Commands;
using XoverOpt.Workshop;

namespace XoverOpt.Worker.Analyses;

/// <summary>What may be asked of other ears, by option or query.</summary>
internal static class EarInput
{
    private static readonly NumberRange _size = new(30, 300, "%");

    private static readonly NumberSetting
        _deep = new("deepMm", "How much deeper than the job's a deep seal sits, mm; 2 if left out. The model of the ear may allow less.", NumberRange.NotNegative(10, "mm")),
        _shallow = new("shallowMm", "How much less deep a shallow seal sits, mm; 4 if left out.", NumberRange.NotNegative(20, "mm")),
        _small = new("smallPercent", "Volume of a small ear, % of the average; 80 if left out.", _size),
        _large = new("largePercent", "Volume of a large ear, % of the average; 125 if left out.", _size),
        _leak = new("leakMm", "Bore of a round leak past the seal, 10 mm long, mm; 0.3 if left out.", new(0.05, 3, "mm")),
        _left = new("leftPercent", "Volume of the left ear, % of the average; 90 if left out.", _size),
        _right = new("rightPercent", "Volume of the right ear, % of the average; 110 if left out.", _size);

    /// <summary>Every number.</summary>
    public static IReadOnlyList<NumberSetting> All { get; } = [_deep, _shallow, _small, _large, _leak, _left, _right];

    /// <summary>The settings, defaults for what was left out.</summary>
    public static EarSettings Settings(GivenNumbers given)
    {
        EarSettings usual = new();
        return new()
        {
            DeepSeal = Length(_deep) ?? usual.DeepSeal,
            ShallowSeal = Length(_shallow) ?? usual.ShallowSeal,
            SmallEar = given.Optional(_small) / 100 ?? usual.SmallEar,
            LargeEar = given.Optional(_large) / 100 ?? usual.LargeEar,
            LeakBore = Length(_leak) ?? usual.LeakBore,
            LeftEar = given.Optional(_left) / 100 ?? usual.LeftEar,
            RightEar = given.Optional(_right) / 100 ?? usual.RightEar,
        };

        double? Length(NumberSetting setting) => given.Optional(setting) is { } mm ? Units.FromMm(mm) : null;
    }
}
