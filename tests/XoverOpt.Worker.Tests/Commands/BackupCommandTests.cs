using System.Net;
using System.Net.Http.Headers;
using Microsoft.Extensions.DependencyInjection;
using XoverOpt.Worker.Access;
using XoverOpt.Worker.Tests.Support;
using XoverOpt.Workshop.Store;

namespace XoverOpt.Worker.Tests.Commands;

public sealed class BackupCommandTests
{
    private static CancellationToken Test => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Backup_OfAWorkingStore_BringsBackRunsBuildsAndKeysElsewhere()
    {
        using Desk desk = new();
        string id, open, secret;
        string[] builds;
        await using (WorkerHere worker = await WorkerHere.Start(desk))
        {
            id = await worker.Client.Submit(Desk.Job());
            await worker.Client.JobEnded(id);
            builds = await worker.Client.Builds(id);
            open = await worker.Client.Submit(Desk.Job(Desk.Endless));
            await worker.Client.JobWhen(open, job => (long)job["checkpoints"]! >= 1);
            secret = Keys.Make(worker.Services.GetRequiredService<IKeyStore>(), "anna", Scope.Submit);

            (int made, _, string told) = await Cli.Run(desk.Root, "backup", "kept.db", "--store", "store");
            (int again, _, string exists) = await Cli.Run(desk.Root, "backup", "kept.db", "--store", "store");
            (int held, _, string inUse) = await Cli.Run(desk.Root, "restore", "kept.db", "--store", "store");

            Assert.True(made == 0, told);
            Assert.Equal((2, 2), (again, held));
            Assert.Contains("exists", exists, StringComparison.Ordinal);
            Assert.Contains("held by another worker", inUse, StringComparison.Ordinal);
        }

        desk.Write("broken.db", "no store");
        (int broken, _, string why) = await Cli.Run(desk.Root, "restore", "broken.db", "--store", "other");
        (int restored, _, string error) = await Cli.Run(desk.Root, "restore", "kept.db", "--store", "other");

        Assert.Equal(2, broken);
        Assert.Single(why.TrimEnd('\n').Split('\n'));
        Assert.True(restored == 0, error);
        await using WorkerHere next = await WorkerHere.Start(desk, "other");
        using HttpResponseMessage closed = await next.Client.Http.GetAsync("/api/jobs", Test);
        Assert.Equal(HttpStatusCode.Unauthorized, closed.StatusCode);
        next.Client.Http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", secret);
        Assert.Equal(builds, await next.Client.Builds(id));
        await next.Client.JobWhen(open, job => (string?)job["state"] == "running");
        (await next.Client.Http.PostAsync($"/api/jobs/{open}/stop", null, Test)).Dispose();
        Assert.Equal("stopped", (string?)(await next.Client.JobEnded(open))["state"]);
    }
}
