using XoverOpt.Acoustics;

namespace XoverOpt.Search;

/// <summary>
/// What measurements say of each fitted value. JᵀJ in units of the noise and of relative changes is split into directions (Σ λ v vᵀ); along
/// each, one standard deviation is 1/√λ (times √(χ²/ν) where the misfit is more than noise). A direction known to no better than a factor of ten
/// is none the data tell: the parameters in it are undetermined.
/// <para>
/// Two such directions are in the model whatever is measured at leads and microphone. All of Z_e, T/S, m/S², r/S², C·S² stay the same when
/// S → aS, T → aT, m → a²m, r → a²r, C → C/a²: nothing outside the receiver sees its area. And of the suspension's compliance C·S² and the rear
/// volume's V/ρc² only the stiffnesses' sum is seen. So one of the first group and one of the last pair must be given.
/// </para>
/// </summary>
internal static class FitJudgement
{
    /// <summary>ln 10.</summary>
    private const double Boundless = 2.302585092994046;
    private const double LooseFrom = 0.25;
    private const double EndOfRange = 1e-4;

    /// <summary>Judges a fit.</summary>
    public static ReceiverFitResult Of(ReceiverFitProblem problem, FitModel model, double[] point, double cost, int agreeing, int followed)
    {
        NormalEquations equations = new();
        model.Evaluate(point, equations);
        IReadOnlyList<FitQuality> quality = [.. Quality(problem, model)];
        int[] free = problem.Free;
        double reduced = cost / Math.Max(model.Count - free.Length, 1);
        FitDirections directions = new(equations, free, Math.Max(1, reduced));

        Receiver receiver = model.At(point);
        FittedValue[] values = [.. Enumerable.Range(0, ReceiverParameter.All.Count).Select(p => Value(p))];
        receiver = Without(receiver, values);
        return new()
        {
            Receiver = receiver,
            Values = values,
            Combinations = [.. FitCombinations.Of(model.At(point), problem, directions)],
            Quality = quality,
            ReducedChiSquare = reduced,
            Ambiguities = [.. directions.Words()],
            Warnings = [.. Warnings(reduced, agreeing, quality, values)],
            Agreeing = agreeing,
            Followed = followed,
        };

        FittedValue Value(int p)
        {
            double value = ReceiverParameter.All[p].Of(receiver) ?? double.NaN;
            int i = Array.IndexOf(free, p);
            if (i < 0)
            {
                return new(p, value, 0, problem.Known.ContainsKey(p) ? FitStanding.Known : FitStanding.Assumed);
            }

            double error = directions.Error(i);
            bool atEnd = point[i] is <= EndOfRange or >= 1 - EndOfRange;
            return directions.HasNoInfluence(i) || (atEnd && error <= Boundless)
                ? new(p, value, double.PositiveInfinity, FitStanding.AtBound)
                : new(p, value, error, error > Boundless ? FitStanding.Undetermined : error > LooseFrom ? FitStanding.Loose : FitStanding.Determined);
        }
    }

    /// <summary>A coil's branch without influence is left out: L and K lie side by side, and a large one carries nothing.</summary>
    private static Receiver Without(Receiver receiver, FittedValue[] values)
    {
        bool Gone(int p) => values[p].Standing == FitStanding.AtBound && values[p].Value > 0.1 * ReceiverParameter.All[p].Highest;
        receiver = Gone(ReceiverParameter.Inductance) ? receiver with { Inductance = null } : receiver;
        return Gone(ReceiverParameter.SemiInductance) ? receiver with { SemiInductance = null } : receiver;
    }

    private static IEnumerable<FitQuality> Quality(ReceiverFitProblem problem, FitModel model)
    {
        foreach (FitModel.Block block in model.Blocks)
        {
            bool magnitude = block.Kind is FitModel.BlockKind.Level or FitModel.BlockKind.ImpedanceMagnitude;
            double scale = block.Sigma * (magnitude ? Acoustics.Figures.MagnitudeError.DbPerNeper : 180 / Math.PI);
            int worst = Enumerable.Range(0, block.Residual.Length).MaxBy(k => Math.Abs(block.Residual[k]));
            string what = block.Kind switch
            {
                FitModel.BlockKind.Level => block.Free ? "level, without reference" : "SPL",
                FitModel.BlockKind.Phase => block.Free ? "phase, delay left out" : "phase",
                FitModel.BlockKind.ImpedanceMagnitude => "impedance",
                _ => "impedance phase",
            };
            yield return new(
                problem.Measurements[block.Measurement].Curve.Name, what, magnitude ? "dB" : "°",
                scale * Math.Sqrt(block.Residual.Average(r => r * r)), scale * Math.Abs(block.Residual[worst]), block.Hz[worst], scale, scale * block.Residual.Average());
        }
    }

    private static IEnumerable<string> Warnings(double reduced, int agreeing, IReadOnlyList<FitQuality> quality, FittedValue[] values)
    {
        if (reduced > 2)
        {
            FitQuality worst = quality.MaxBy(one => one.Rms / one.Expected)!;
            yield return Text($"the misfit is {Math.Sqrt(reduced):0.0} times what the stated noise leaves, most in the {worst.What} of {worst.Curve} near {worst.WorstHz:0} Hz: a load, a unit or the drive is not as stated, the receiver is not of this form, or the noise is larger; errors are widened to match");
        }

        foreach (FitQuality one in quality)
        {
            if (one is { What: "phase" } && Math.Abs(one.Mean) > 120)
            {
                yield return $"the phase of {one.Curve} is off by about half a turn throughout: are the leads turned over?";
            }
            else if (one.Unit == "dB" && Math.Abs(one.Mean) > 3 && Math.Abs(one.Mean) > 0.9 * one.Rms)
            {
                yield return Text($"the {one.What} of {one.Curve} is off by {-one.Mean:+0.0;-0.0} dB throughout: see its calibration and drive");
            }
        }

        if (agreeing < 2)
        {
            yield return "only one descent ended here: there may be a better fit elsewhere";
        }

        foreach (FittedValue value in values.Where(value => value.Standing == FitStanding.AtBound))
        {
            yield return Text($"{value.Parameter.Name} has no influence or ran to an end of its range, near {value.Value / value.Parameter.Scale:G3} {value.Parameter.Unit}: that part is missing from the receiver, or it is not of this form");
        }
    }

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
