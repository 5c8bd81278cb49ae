using System.Globalization;
using XoverOpt.Search;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>Where parts are used, whatever the store keeps it in.</summary>
public abstract class PartUseContract(StorePlace place) : StoreContract(place)
{
    private IPartUses Uses => Whole.PartUses;

    [Fact]
    public void Uses_OfEveryKindOfPart_TellHowMuchOfItGoesIntoOneEarpiece()
    {
        string id = EndedWith("job", Build(1, "LO-1", count: 2), Build(2, "LO-2", count: 1));

        Assert.Equal([(id, 1, 2, null)], Brief("LO-1"));
        Assert.Equal([(id, 1, 1, null), (id, 2, 1, null)], Brief("resistor 39 Ω"));
        Assert.Equal([(id, 1, 1, null), (id, 2, 1, null)], Brief("C-100 100 µF"));
        Assert.Equal([(id, 1, 2, null), (id, 2, 2, null)], Brief("D07"));
        Assert.Equal([(id, 1, 2, 23.25), (id, 2, 2, 23.25)], Brief("T13"));
        Assert.Equal(
            new[] { "C-100 100 µF", "D07", "HI-1", "LO-1", "LO-2", "T13", "resistor 39 Ω" }.Order(StringComparer.Ordinal),
            Uses.Parts().Order(StringComparer.Ordinal));
        PartUse use = Uses.Uses("LO-2", null, 10).Single();
        Assert.Equal(("job", RunState.Done, Clock.GetUtcNow(), 0.2), (use.Job, use.State, use.Ended!.Value, use.Cost));
        Assert.Equal(new PartUseCount(PartKind.Tubing, 2, 1), Uses.Count("T13"));
        Assert.Equal(PartKind.Capacitor, Uses.Kind("C-100 100 µF"));
        Assert.Null(Uses.Kind("T14"));
        Assert.Null(Uses.Count("T14"));
        Assert.Empty(Uses.Uses("T14", null, 10));
        Assert.Empty(Uses.Without("T14", null, 10));
    }

    [Fact]
    public void Uses_InPages_GiveEachBuildOnceNewestRunFirst()
    {
        string[] runs = [.. Enumerable.Range(0, 3).Select(n => EndedWith($"run {n}", Build(1, "LO-1"), Build(2, "LO-2"), Build(3, "LO-1")))];
        List<PartUse> all = [];
        for (IReadOnlyList<PartUse> page = Uses.Uses("LO-1", null, 4); page.Count > 0; page = Uses.Uses("LO-1", all[^1].Build, 4))
        {
            all.AddRange(page);
        }

        Assert.Equal(runs.Reverse().SelectMany(run => new[] { new BuildPlace(run, 1), new BuildPlace(run, 3) }), all.Select(use => use.Build));
    }

    [Fact]
    public void Uses_OfARun_ComeAndGoWithItsBuilds()
    {
        RunClaim claim = Held();
        Store.SaveCheckpoint(claim.RunId, claim.Epoch, 0, [1], "{}", [Build(1, "LO-1")]);
        Assert.Equal((RunState.Running, null), Uses.Uses("LO-1", null, 10).Select(use => (use.State, use.Ended)).Single());
        Store.SaveCheckpoint(claim.RunId, claim.Epoch, 1, [1], "{}", null);
        Assert.Single(Uses.Uses("LO-1", null, 10));

        // Under an old epoch nothing changes.
        Assert.False(Store.SaveCheckpoint(claim.RunId, claim.Epoch - 1, 2, [1], "{}", [Build(1, "LO-9")]));
        Assert.Null(Uses.Count("LO-9"));

        Store.Finish(claim.RunId, claim.Epoch, Done(Build(1, "LO-2")));
        Assert.Null(Uses.Count("LO-1"));
        Assert.NotNull(Uses.Count("LO-2"));

        Store.Delete(claim.RunId);
        Assert.Empty(Uses.Parts());
    }

    [Fact]
    public void Without_TellsWhatEachJobLosesAndItsBestBuildThatIsLeft()
    {
        EndedWith("stage", Build(1, "LO-1"), Build(2, "LO-1"));
        string stage = EndedWith("stage, renamed", Build(1, "LO-1"), Build(2, "LO-2"), Build(3, "LO-1"), Build(4, "LO-3"));
        string budget = EndedWith("budget", "other-hash", Build(1, "LO-1"));
        EndedWith("untouched", "third-hash", Build(1, "LO-2"));
        RunClaim open = Held(run: Run("stage"));
        Store.SaveCheckpoint(open.RunId, open.Epoch, 0, [1], "{}", [Build(1, "LO-1")]);

        IReadOnlyList<PartLoss> losses = Uses.Without("LO-1", null, 10);

        Assert.Equal([("budget", budget), ("stage, renamed", stage)], losses.Select(loss => (loss.Job, loss.RunId)));
        Assert.Equal((1, 1, null, null, 1, 1, 1), Figures(losses[0]));
        Assert.Equal((4, 2, 2, 0.2, 2, 6, 4), Figures(losses[1]));
        Assert.Equal((0.1, Store.Find(stage)!.Ended!.Value, "job-hash"), (losses[1].BestCost, losses[1].Ended, losses[1].JobHash));
        Assert.Equal([budget], Uses.Without("LO-1", null, 1).Select(loss => loss.RunId));
        Assert.Equal([stage], Uses.Without("LO-1", budget, 5).Select(loss => loss.RunId));
        Assert.Equal([(4, 1, 1)], Uses.Without("LO-3", null, 5).Select(loss => (loss.Builds, loss.Lost, loss.NextRank!.Value)));
    }

    [Fact]
    public void Without_LatestRunDoesWithoutThePart_LosesOnlyEarlierBuilds()
    {
        EndedWith("stage", Build(1, "LO-1"));
        string latest = EndedWith("stage", Build(1, "LO-2"));

        PartLoss loss = Uses.Without("LO-1", null, 10).Single();

        Assert.Equal(latest, loss.RunId);
        Assert.Equal((1, 0, 1, 0.1, 2, 2, 1), Figures(loss));
    }

    private static (int Builds, int Lost, int? NextRank, double? NextCost, int AllRuns, int AllBuilds, int AllLost) Figures(PartLoss loss) =>
        (loss.Builds, loss.Lost, loss.NextRank, loss.NextCost, loss.AllRuns, loss.AllBuilds, loss.AllLost);

    private IEnumerable<(string Run, int Rank, int Pieces, double? LengthMm)> Brief(string part) =>
        Uses.Uses(part, null, 10).Select(use => (use.Build.RunId, use.Build.Rank, use.Pieces, use.LengthMm));

    private string EndedWith(string name, params StoredBuild[] builds) => EndedWith(name, "job-hash", builds);

    private string EndedWith(string name, string jobHash, params StoredBuild[] builds)
    {
        Clock.Advance(TimeSpan.FromSeconds(1));
        RunClaim claim = Held(run: Run(name) with { JobHash = jobHash });
        Assert.True(Store.Finish(claim.RunId, claim.Epoch, Done(builds)));
        return claim.RunId;
    }

    /// <summary>Two ways: one with the receiver, one with HI-1; the same damper and the same tubing in both.</summary>
    internal static StoredBuild Build(int rank, string receiver, int count = 1) => new(rank, 0.1 * rank, string.Create(
        CultureInfo.InvariantCulture,
        $$"""
        { "format": "build/1", "rank": {{rank}}, "ways": [
          { "name": "low", "receiver": "{{receiver}}", "count": {{count}}, "network": [ { "place": "series", "kind": "resistor", "ohm": 39 } ],
            "damperOhmCgs": 680, "damperPartNumber": "D07", "tube": [ { "lengthMm": 12.5, "boreMm": 1.3, "partNumber": "T13" } ] },
          { "name": "high", "receiver": "HI-1", "count": 1, "network": [ { "place": "shunt", "kind": "capacitor", "microfarad": 100, "esrOhm": 0.3, "capacitorPartNumber": "C-100" } ],
            "damperOhmCgs": 680, "damperPartNumber": "D07", "tube": [ { "lengthMm": 10.75, "boreMm": 1.3, "partNumber": "T13" } ] } ],
          "response": { "hz": [] } }
        """));
}
