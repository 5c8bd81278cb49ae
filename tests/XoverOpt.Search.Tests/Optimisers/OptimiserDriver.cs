using System.Text.Json;

namespace XoverOpt.Search.Tests;

/// <summary>Drives optimisers by ask and tell.</summary>
internal static class OptimiserDriver
{
    /// <summary>One of each kind, small; "reducing-de" is the same kind with linear reduction.</summary>
    public static IOptimiser Create(string kind, int dimensions, ulong seed, long evaluations = 1_000_000) => kind switch
    {
        "cma-es" => new CmaEs(new CmaEsSettings(dimensions, seed) { MaxEvaluations = evaluations }),
        "restarting-cma-es" => new RestartingCmaEs(new CmaEsSettings(dimensions, seed) { MaxEvaluations = evaluations }),
        "success-history-de" => new SuccessHistoryDe(
            new SuccessHistoryDeSettings(dimensions, seed) { Population = 30, Memory = 30, MaxEvaluations = evaluations }),
        "reducing-de" => new SuccessHistoryDe(SuccessHistoryDeSettings.Reducing(dimensions, seed, evaluations)),
        _ => throw new ArgumentException(kind, nameof(kind)),
    };

    /// <summary>Runs to its end or to a cost; the evaluations until that cost was first met, null if it was not.</summary>
    public static long? Run(IOptimiser optimiser, Func<double[], double> cost, double until = double.NegativeInfinity)
    {
        while (true)
        {
            double[][] points = optimiser.Ask();
            double[] costs = [.. points.Select(cost)];
            int met = Array.FindIndex(costs, value => value <= until);
            if (met >= 0 || points.Length == 0)
            {
                return met >= 0 ? optimiser.Evaluations + met + 1 : null;
            }

            optimiser.Tell(costs);
        }
    }

    /// <summary>The optimiser after a way through JSON.</summary>
    public static IOptimiser ThroughJson(IOptimiser optimiser) => JsonSerializer.Deserialize<OptimiserState>(Json(optimiser))!.Restore();

    public static string Json(IOptimiser optimiser) => JsonSerializer.Serialize(optimiser.Save());
}
