using XoverOpt.Workshop.Store;

namespace XoverOpt.Workshop.Tests.Store;

/// <summary>What every run store must do, whatever it keeps the runs in.</summary>
public abstract class RunStoreContract(StorePlace place) : StoreContract(place)
{
    private static readonly StoredBuild[] Builds = [new(1, 0.5, "{\"rank\":1}"), new(2, 0.75, "{\"rank\":2}")];

    [Fact]
    public void Submit_NewRun_IsKeptAsItWasGiven()
    {
        string id = Store.Submit(Run("café", seed: ulong.MaxValue)).RunId;

        RunRecord run = Store.Find(id)!;
        Assert.Equal(
            ("café", RunState.Waiting, ulong.MaxValue, "job-hash", "stock-hash", "1.2", Clock.GetUtcNow()),
            (run.Name, run.State, run.Seed, run.JobHash, run.InventoryHash, run.ProgramVersion, run.Created));
        Assert.Equal("{\"name\":\"café\"}", Store.Job(id));
        Assert.Empty(Store.Builds(id));
        Assert.True(run.Open);
    }

    [Fact]
    public void Submit_SameKeyAndRequest_MakesOneRun()
    {
        Submission first = Store.Submit(Run(), new IdempotencyKey("k", "request"));
        Submission second = Store.Submit(Run(), new IdempotencyKey("k", "request"));

        Assert.Equal(SubmissionKind.Kept, first.Kind);
        Assert.Equal(first with { Kind = SubmissionKind.Known }, second);
        Assert.Equal(second, Store.Known(new IdempotencyKey("k", "request")));
        Assert.Single(Store.List(null, null, 10));
    }

    [Fact]
    public void Submit_SameKeyOtherRequest_IsRefused()
    {
        string id = Store.Submit(Run(), new IdempotencyKey("k", "request")).RunId;

        Assert.Equal(new Submission(SubmissionKind.KeyUsedOtherwise, id), Store.Submit(Run(), new IdempotencyKey("k", "other")));
        Assert.Single(Store.List(null, null, 10));
        Assert.Null(Store.Known(new IdempotencyKey("new", "request")));
    }

    [Fact]
    public async Task Submit_SameKeyFromManyThreads_MakesOneRun()
    {
        Submission[] all = await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => Task.Run(() => Store.Submit(Run(), new IdempotencyKey("k", "request")))));

        Assert.Single(all, submission => submission.Kind == SubmissionKind.Kept);
        Assert.Single(all.Select(submission => submission.RunId).Distinct());
    }

    [Fact]
    public async Task TryClaim_ManyAtOnce_LetsOneIn()
    {
        string id = Store.Submit(Run()).RunId;

        RunClaim?[] claims = await Task.WhenAll(Enumerable.Range(0, 8).Select(i => Task.Run(() => Store.TryClaim(id, $"worker {i}", Lease))));

        Assert.Single(claims, claim => claim is not null);
    }

    [Fact]
    public void TryClaim_WaitingRun_GivesTheJobAndStartsTheRun()
    {
        string id = Store.Submit(Run()).RunId;
        Clock.Advance(TimeSpan.FromSeconds(7));

        RunClaim claim = Store.TryClaim(id, "me", Lease)!;

        Assert.Equal((id, 1L, 0L, 1, "{\"name\":\"run\"}"), (claim.RunId, claim.Epoch, claim.Step, claim.Attempts, claim.Job));
        Assert.Null(claim.Checkpoint);
        Assert.Equal((RunState.Running, Clock.GetUtcNow()), (Store.Find(id)!.State, Store.Find(id)!.Started!.Value));
        Assert.Null(Store.TryClaim("no such run", "me", Lease));
    }

    [Fact]
    public void TryClaim_HeldRun_WaitsForTheLeaseToRunOut()
    {
        string id = Store.Submit(Run()).RunId;
        RunClaim old = Store.TryClaim(id, "old", Lease)!;
        Store.SaveCheckpoint(id, old.Epoch, 0, [1, 2, 3], "{}", null);

        Clock.Advance(Lease);
        Assert.Null(Store.TryClaim(id, "new", Lease));
        Assert.Empty(Store.Unheld());
        Clock.Advance(TimeSpan.FromMilliseconds(1));
        Assert.Equal([id], Store.Unheld());
        RunClaim taken = Store.TryClaim(id, "new", Lease)!;

        Assert.Equal((old.Epoch + 1, 1L), (taken.Epoch, taken.Step));
        Assert.Equal([1, 2, 3], taken.Checkpoint);
    }

    [Fact]
    public void Renew_HeldRun_KeepsOthersOut()
    {
        string id = Store.Submit(Run()).RunId;
        RunClaim claim = Store.TryClaim(id, "me", Lease)!;
        for (int i = 0; i < 5; i++)
        {
            Clock.Advance(Lease / 2);
            Assert.Equal(LeaseSignal.Held, Store.Renew(id, claim.Epoch, Lease));
        }

        Assert.Null(Store.TryClaim(id, "other", Lease));
    }

    [Fact]
    public void EveryWrite_UnderAnOldEpoch_ChangesNothing()
    {
        string id = Store.Submit(Run()).RunId;
        long old = Store.TryClaim(id, "old", Lease)!.Epoch;
        Clock.Advance(Lease * 2);
        long mine = Store.TryClaim(id, "new", Lease)!.Epoch;
        Store.SaveCheckpoint(id, mine, 0, [7], "{\"mine\":1}", Builds);
        RunRecord before = Store.Find(id)!;

        Assert.False(Store.SaveProgress(id, old, "{\"old\":1}"));
        Assert.False(Store.SaveCheckpoint(id, old, 1, [9], "{}", []));
        Assert.False(Store.Finish(id, old, new RunOutcome(RunState.Done, "finished", null, null, null, [])));
        Assert.False(Store.Release(id, old));
        Assert.False(Store.ReleaseFailed(id, old, "boom", TimeSpan.Zero));
        Assert.Equal(LeaseSignal.Lost, Store.Renew(id, old, Lease));
        Assert.Equal(LeaseSignal.Lost, Store.Look(id, old));

        Assert.Equal(before, Store.Find(id));
        Assert.Equal(Builds, Store.Builds(id));
        Assert.Equal(LeaseSignal.Held, Store.Look(id, mine));
    }

    [Fact]
    public void SaveCheckpoint_UnexpectedStep_ChangesNothing()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;
        Assert.True(Store.SaveCheckpoint(id, epoch, 0, [1], "{}", null));

        Assert.False(Store.SaveCheckpoint(id, epoch, 0, [2], "{}", Builds));
        Assert.False(Store.SaveCheckpoint(id, epoch, 2, [2], "{}", Builds));

        Store.Release(id, epoch);
        Assert.Equal([1], Store.TryClaim(id, "me", Lease)!.Checkpoint);
        Assert.Empty(Store.Builds(id));
    }

    [Fact]
    public void SaveCheckpoint_BuildsLeftOut_KeepsThoseThere()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;
        Assert.True(Store.SaveCheckpoint(id, epoch, 0, [1], "{}", Builds));

        Assert.True(Store.SaveCheckpoint(id, epoch, 1, [2], "{}", null));

        Assert.Equal(Builds, Store.Builds(id));
    }

    [Fact]
    public void Attempts_OfAWorkerThatDies_AreCountedUntilACheckpoint()
    {
        string id = Store.Submit(Run()).RunId;
        for (int attempt = 1; attempt <= 3; attempt++)
        {
            Assert.Equal(attempt, Store.TryClaim(id, "dies", Lease)!.Attempts);
            Clock.Advance(Lease * 2);
        }

        RunClaim claim = Store.TryClaim(id, "lives", Lease)!;
        Store.SaveCheckpoint(id, claim.Epoch, 0, [1], "{}", null);
        Clock.Advance(Lease * 2);

        Assert.Equal(1, Store.TryClaim(id, "next", Lease)!.Attempts);
    }

    [Fact]
    public void Release_InGoodOrder_IsTakenAtOnceAndCountsNoAttempt()
    {
        string id = Store.Submit(Run()).RunId;
        Store.Release(id, Store.TryClaim(id, "me", Lease)!.Epoch);

        Assert.Equal([id], Store.Unheld());
        Assert.Equal(RunState.Waiting, Store.Find(id)!.State);
        Assert.Equal(1, Store.TryClaim(id, "next", Lease)!.Attempts);
        Assert.Equal(RunState.Running, Store.Find(id)!.State);
    }

    [Fact]
    public void Release_OfARunAskedToStop_LeavesItToBeStopped()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;
        Store.AskToStop(id);

        Assert.True(Store.Release(id, epoch));

        Assert.Equal(RunState.Stopping, Store.Find(id)!.State);
        Assert.Equal([id], Store.Unheld());
    }

    [Fact]
    public void AskToStop_RunGivenBackWithNothingFound_EndsIt()
    {
        string id = Store.Submit(Run()).RunId;
        Store.ReleaseFailed(id, Store.TryClaim(id, "me", Lease)!.Epoch, "boom", TimeSpan.FromHours(1));

        Assert.True(Store.AskToStop(id));

        Assert.Equal((RunState.Stopped, "stopped"), (Store.Find(id)!.State, Store.Find(id)!.Reason));
        Assert.NotNull(Store.Find(id)!.Ended);
        Assert.Empty(Store.Unheld());
    }

    [Fact]
    public void AskToStop_RunGivenBack_IsLeftForAWorkerToEndWithWhatWasFound()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;
        Store.SaveCheckpoint(id, epoch, 0, [1], "{}", null);
        Store.ReleaseFailed(id, epoch, "boom", TimeSpan.FromHours(1));

        Assert.Equal(RunState.Waiting, Store.Find(id)!.State);
        Assert.True(Store.AskToStop(id));

        Assert.Equal((RunState.Stopping, true), (Store.Find(id)!.State, Store.Find(id)!.Open));
        Assert.Equal([id], Store.Unheld());
        Assert.True(Store.TryClaim(id, "me", Lease)!.StopAsked);
    }

    [Fact]
    public void DropCheckpoint_OfAHeldRun_IsToldAndLeavesTheRest()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;
        Store.SaveCheckpoint(id, epoch, 0, [1], "{}", null);

        Assert.True(Store.DropCheckpoint(id, epoch, "it is cut short"));
        Assert.False(Store.DropCheckpoint(id, epoch - 1, "another's"));

        Assert.Equal("{\"failure\":\"it is cut short\"}", Whole.Events.Events(id, 0, 100).Single(one => one.Kind == EventKind.Failure).Data);
        Store.Release(id, epoch);
        RunClaim next = Store.TryClaim(id, "next", Lease)!;
        Assert.Null(next.Checkpoint);
        Assert.True(Store.SaveCheckpoint(id, next.Epoch, next.Step, [2], "{}", null));
    }

    [Fact]
    public void ReleaseFailed_WaitsBeforeTheNextAttemptAndKeepsTheReason()
    {
        string id = Store.Submit(Run()).RunId;
        Store.ReleaseFailed(id, Store.TryClaim(id, "me", Lease)!.Epoch, "boom", TimeSpan.FromSeconds(8));

        Assert.Empty(Store.Unheld());
        Assert.Null(Store.TryClaim(id, "me", Lease));
        Clock.Advance(TimeSpan.FromSeconds(8));
        Assert.Equal([id], Store.Unheld());
        RunClaim claim = Store.TryClaim(id, "me", Lease)!;
        Assert.Equal((2, "boom"), (claim.Attempts, claim.Failure));
    }

    [Fact]
    public void AskToStop_WaitingRun_EndsIt()
    {
        string id = Store.Submit(Run()).RunId;

        Assert.True(Store.AskToStop(id));

        Assert.Equal((RunState.Stopped, "stopped"), (Store.Find(id)!.State, Store.Find(id)!.Reason));
        Assert.NotNull(Store.Find(id)!.Ended);
        Assert.Null(Store.TryClaim(id, "me", Lease));
        Assert.Empty(Store.Unheld());
    }

    [Fact]
    public void AskToStop_RunningRun_IsSeenByItsHolderAndByWhoeverTakesOver()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;

        Assert.True(Store.AskToStop(id));

        Assert.Equal(RunState.Stopping, Store.Find(id)!.State);
        Assert.Equal(LeaseSignal.StopAsked, Store.Look(id, epoch));
        Assert.Equal(LeaseSignal.StopAsked, Store.Renew(id, epoch, Lease));
        Clock.Advance(Lease * 2);
        long next = Store.TryClaim(id, "next", Lease)!.Epoch;
        Assert.Equal((RunState.Stopping, LeaseSignal.StopAsked), (Store.Find(id)!.State, Store.Look(id, next)));
    }

    [Fact]
    public void AskToStop_EndedOrUnknownRun_SaysNo()
    {
        string id = Store.Submit(Run()).RunId;
        Store.Finish(id, Store.TryClaim(id, "me", Lease)!.Epoch, new RunOutcome(RunState.Done, "finished", null, null, null, Builds));

        Assert.False(Store.AskToStop(id));
        Assert.False(Store.AskToStop("no such run"));
        Assert.Equal(RunState.Done, Store.Find(id)!.State);
    }

    [Fact]
    public void Finish_KeepsResultAndBuildsAndClosesTheRun()
    {
        string id = Store.Submit(Run()).RunId;
        long epoch = Store.TryClaim(id, "me", Lease)!.Epoch;
        Store.SaveCheckpoint(id, epoch, 0, [1], "{\"p\":1}", [new StoredBuild(1, 9, "{}"), new StoredBuild(3, 10, "{}")]);

        Assert.True(Store.Finish(id, epoch, new RunOutcome(RunState.Done, "finished", "tight", "{\"p\":2}", "{\"r\":1}", Builds)));

        RunRecord run = Store.Find(id)!;
        Assert.Equal((RunState.Done, "finished", "tight", "{\"p\":2}", "{\"r\":1}", false), (run.State, run.Reason, run.Failure, run.Progress, run.Result, run.Open));
        Assert.Equal(Builds, Store.Builds(id));
        Assert.Equal(Builds[1], Store.Build(id, 2));
        Assert.Null(Store.Build(id, 3));
        Assert.Equal(LeaseSignal.Lost, Store.Look(id, epoch));
        Assert.False(Store.Finish(id, epoch, new RunOutcome(RunState.Failed, null, null, null, null, null)));
        Assert.Null(Store.TryClaim(id, "me", Lease));
    }

    [Fact]
    public void List_ByStateInPages_GivesEachRunOnceNewestFirst()
    {
        List<string> ids = [];
        for (int i = 0; i < 7; i++)
        {
            ids.Add(Store.Submit(Run()).RunId);
            Clock.Advance(TimeSpan.FromMilliseconds(i % 2));
        }

        Store.AskToStop(ids[2]);
        List<string> listed = [];
        for (string? after = null; Store.List(RunState.Waiting, after, 2) is { Count: > 0 } page; after = page[^1].Id)
        {
            listed.AddRange(page.Select(run => run.Id));
        }

        Assert.Equal(ids.Where(id => id != ids[2]).Order(), listed.Order());
        Assert.Equal([ids[2]], Store.List(RunState.Stopped, null, 10).Select(run => run.Id));
        DateTimeOffset[] created = [.. Store.List(null, null, 10).Select(run => run.Created)];
        Assert.Equal(created.OrderDescending(), created);
        Assert.Equal(6, Store.Count()[RunState.Waiting]);
    }
}
