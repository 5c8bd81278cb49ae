using XoverOpt.Acoustics;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Search;

/// <summary>
/// A job made whole: what is wanted, what it may be built from, and how hard to look. Made by validation only
/// (Workshop.Files); nothing after it checks again. SI units throughout.
/// </summary>
public sealed record Problem
{
    /// <summary>The job's name.</summary>
    public required string Name { get; init; }

    /// <summary>The wanted eardrum response.</summary>
    public required Target Target { get; init; }

    /// <summary>What is asked of phase and arrival.</summary>
    public required PhaseGoal Phase { get; init; }

    /// <summary>What drives the socket.</summary>
    public required Source Source { get; init; }

    /// <summary>What the tip speaks into.</summary>
    public required Ear Ear { get; init; }

    /// <summary>The ways and what each may be made of; at least one.</summary>
    public required IReadOnlyList<WayChoice> Ways { get; init; }

    /// <summary>Limits on the whole earpiece.</summary>
    public required Limits Limits { get; init; }

    /// <summary>The network parts that may be used.</summary>
    public required PassiveStock Passives { get; init; }

    /// <summary>What the cost weighs.</summary>
    public required CostWeights Cost { get; init; }

    /// <summary>How hard to look.</summary>
    public required Effort Effort { get; init; }

    /// <summary>Builds to begin from, best first, such as those of an earlier run; empty to begin with nothing known.</summary>
    public IReadOnlyList<Earpiece> Known { get; init; } = [];

    /// <summary>How builds are ranked for parts, ears and sources that vary; null where only the build as drawn counts.</summary>
    public RobustRankingGoal? Robust { get; init; }

    /// <summary>Tubes are cut in steps of this, m.</summary>
    public double TubeStep { get; init; } = 0.5e-3;

    /// <summary>Hash of the job as it was read, lower-case hexadecimal SHA-256.</summary>
    public string JobHash { get; init; } = "";

    /// <summary>Hash of the inventory as it was read, lower-case hexadecimal SHA-256.</summary>
    public string InventoryHash { get; init; } = "";

    /// <summary><see cref="Passives"/>, and the network parts of ways that stay as in another build.</summary>
    public PassiveStock PassivesInUse
    {
        get
        {
            (ParameterKind Kind, StockValue Part)[] kept = [.. Ways.Where(way => way.Kept is not null)
                .SelectMany(way => Candidate.ParametersOf(0, way.Networks[0]).Zip(way.Kept!.Parts, (parameter, part) => (parameter.Kind, part)))];
            return kept.Length == 0 ? Passives : new(
                With(Passives.Resistors, ParameterKind.Resistor), With(Passives.Capacitors, ParameterKind.Capacitor), With(Passives.Coils, ParameterKind.Coil));

            IReadOnlyList<StockValue> With(IReadOnlyList<StockValue> listed, ParameterKind kind) => [.. listed, .. kept.Where(part => part.Kind == kind).Select(part => part.Part)];
        }
    }

    /// <summary>
    /// The length of a tube of so many cutting steps, m, as the double nearest to its decimal (to 1 nm). A bare product would differ
    /// in the last place from what the length reads as from a file.
    /// </summary>
    /// <param name="steps">How many steps.</param>
    /// <param name="tubeStep">The cutting step, m: <see cref="TubeStep"/>.</param>
    public static double CutLength(double steps, double tubeStep) => Math.Round(steps * tubeStep, 9);
}
